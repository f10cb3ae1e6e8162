import {
  type Range,
  type SemanticTokens,
  SemanticTokensBuilder,
  type SemanticTokensParams,
  type SemanticTokensRangeParams,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { namesInChunk } from '../../shared/configuration/names.ts';
import { fileKind } from '../../shared/configuration/project.ts';
import { rootShape } from '../../shared/configuration/schemas.ts';
import type { Shape } from '../../shared/configuration/shape.ts';
import { type Visitor, visitChunk } from '../../shared/configuration/visit.ts';
import { memo } from '../../shared/memo.ts';
import { type Chunk, type ScalarNode, type Span, spanInScalar } from '../../shared/source/tree.ts';
import type { Feature } from './feature.ts';

/**
 * The protocol's own types, so that every theme has a colour for them: a unit is a `type`, `abs` a `modifier`, and a name a
 * `function`, which most themes tell apart from keys and values.
 */
const TYPES = {
  number: 'number',
  unit: 'type',
  reference: 'modifier',
  name: 'function',
  quantity: 'enumMember',
};
const TYPE_NAMES = Object.keys(TYPES) as TokenType[];
const DECLARATION = 1;

export type TokenType = keyof typeof TYPES;

export const semanticTokens: Feature = {
  capabilities: {
    semanticTokensProvider: {
      legend: { tokenTypes: Object.values(TYPES), tokenModifiers: ['declaration'] },
      full: true,
      range: true,
    },
  },
  listen: (connection, { from }) => {
    connection.languages.semanticTokens.on(
      answerOf(from<SemanticTokensParams, SemanticTokens>((analysis) => tokensOf(analysis))),
    );
    connection.languages.semanticTokens.onRange(
      answerOf(
        from<SemanticTokensRangeParams, SemanticTokens>((analysis, { range }) => tokensOf(analysis, range)),
      ),
    );
  },
};

/** The server's interface does not allow null here. */
const answerOf =
  <Params, Token>(handler: (params: Params, token: Token) => Promise<SemanticTokens | null>) =>
  async (params: Params, token: Token): Promise<SemanticTokens> =>
    (await handler(params, token)) ?? { data: [] };

export interface Token {
  readonly span: Span;
  readonly type: TokenType;
  readonly declares: boolean;
}

/** The semantic tokens, packed as the protocol defines. */
export function tokensOf(analysis: Analysis, range?: Range): SemanticTokens {
  const { file } = analysis;
  const builder = new SemanticTokensBuilder();
  const [from, to] = range ? [file.lines.offset(range.start), file.lines.offset(range.end)] : [0, Infinity];
  for (const [chunk, at] of file.chunks) {
    if (at > to || at + chunk.text.length < from) continue;
    for (const { span, type, declares } of tokensInChunk(chunk)) {
      const { line, character } = file.lines.position(at + span.start);
      if (range && (line < range.start.line || line > range.end.line)) continue;
      const length = span.end - span.start;
      builder.push(line, character, length, TYPE_NAMES.indexOf(type), declares ? DECLARATION : 0);
    }
  }
  return builder.build();
}

/** Numbers, units, pressure references and names, in the order of the text. */
export const tokensIn = ({ file }: Pick<Analysis, 'file'>): Token[] =>
  [...file.chunks.keys()].flatMap(tokensInChunk);

/** Cached by chunk, because most chunks do not change with a keystroke. */
const tokensInChunk = memo((chunk: Chunk): readonly Token[] => {
  const kind = fileKind(chunk.file);
  if (!kind) return [];
  const names = namesInChunk(chunk);
  const named = new Set(names.map(({ node }) => node));
  const collector = new Collector(named);
  visitChunk(chunk, rootShape(kind), collector);
  const declared = new Set(names.filter(({ declares }) => declares).map(({ node }) => node));
  const ofNames = names
    // The key of a signal is a name and a quantity: it is coloured as the name that it declares.
    .filter(({ declares, node }) => declares || !declared.has(node))
    .map(({ span, declares, kind: named }): Token => {
      return {
        span,
        type: named === 'quantity' ? 'quantity' : 'name',
        declares: declares && named !== 'quantity',
      };
    });
  return [...collector.tokens, ...ofNames].sort((a, b) => a.span.start - b.span.start);
});

class Collector implements Visitor {
  readonly tokens: Token[] = [];

  constructor(readonly named: ReadonlySet<ScalarNode>) {}

  value(node: ScalarNode, shape: Shape | undefined, _: unknown, around: Shape | undefined): void {
    if (this.named.has(node) || node.style === 'block') return;
    if (shape?.unitOf) this.#unit(node, 0);
    else if (shape?.quantity || shape?.range || around?.relation || typeof node.value === 'number') {
      this.#quantity(node);
    }
  }

  key(key: ScalarNode, around: Shape | undefined): void {
    if (around?.relation) this.#quantity(key);
  }

  /** `0.2..4.8 V`: numbers, then a unit, then the pressure reference. */
  #quantity(node: ScalarNode): void {
    let end = 0;
    for (const number of node.text.matchAll(NUMBER)) {
      if (node.text.slice(end, number.index).replace('..', '').trim() !== '') break;
      end = number.index + number[0].length;
      this.#add(node, 'number', number.index, end);
    }
    if (end > 0) this.#unit(node, end);
  }

  #unit(node: ScalarNode, from: number): void {
    const rest = node.text.slice(from);
    const start = from + rest.length - rest.trimStart().length;
    const written = rest.trim();
    const reference = REFERENCE.exec(written)?.[1];
    const unit = written.slice(0, written.length - (reference?.length ?? 0)).trimEnd();
    if (unit !== '') this.#add(node, 'unit', start, start + unit.length);
    if (reference)
      this.#add(node, 'reference', node.text.trimEnd().length - reference.length, node.text.length);
  }

  #add(node: ScalarNode, type: TokenType, start: number, end: number): void {
    const span = spanInScalar(node, start, Math.min(end, node.text.trimEnd().length));
    if (span !== node) this.tokens.push({ span, type, declares: false });
  }
}

/** The dots of a range are not decimal points. */
const NUMBER = /0x[\da-f]+|[-+]?(?:\d+(?:\.(?!\.)\d*)?|(?<!\.)\.\d+)(?:e[-+]?\d+)?/gi;
const REFERENCE = /\s(abs|gauge)$/;
