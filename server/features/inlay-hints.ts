import {
  type InlayHint,
  InlayHintKind,
  type InlayHintLabelPart,
  MarkupKind,
  type Position,
  type Range,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { keyNode, keyOf, offsetsOf, type SourceFile } from '../../shared/source/source-file.ts';
import { type Chunk, type Node, type PathStep, pathOf, pathText } from '../../shared/source/tree.ts';
import type { Proved } from '../bound-words.ts';
import type { Editor } from '../editor.ts';
import { prose } from '../markdown.ts';
import { locationOf } from '../places.ts';
import type { ShowPlacesArguments } from '../protocol.ts';
import type { Feature } from './feature.ts';
import type { HintPart, Sight } from './hint-part.ts';
import { hintParts } from './hint-parts.ts';

export const inlayHints: Feature = {
  capabilities: { inlayHintProvider: { resolveProvider: true } },
  listen: (connection, { from }) => {
    connection.languages.inlayHint.on(
      from((analysis, params, editor, { proofs }) =>
        editor.settings.inlayHints.enabled
          ? inlayHintsIn(analysis, params, editor, proofs.of(params.textDocument.uri))
          : [],
      ),
    );
    const resolve = from<Looked, InlayHint>((analysis, { hint, textDocument: { uri } }, editor, { proofs }) =>
      resolvedHint(analysis, hint, editor, proofs.of(uri)),
    );
    connection.languages.inlayHint.resolve(async (hint, token) => {
      const uri = (hint.data as Origin | undefined)?.uri;
      if (uri === undefined) return hint;
      return (await resolve({ textDocument: { uri }, hint }, token)) ?? hint;
    });
  },
};

/** Identifies a hint until an editor resolves it. */
interface Origin {
  readonly uri: string;
  readonly path: readonly PathStep[];
}

interface Looked {
  readonly textDocument: { readonly uri: string };
  readonly hint: InlayHint;
}

/** Derived values after the text that they belong to; the values of one place share a hint. */
export function inlayHintsIn(
  analysis: Analysis,
  { range }: { readonly range: Range },
  editor: Editor,
  proved?: Proved,
): InlayHint[] {
  const { file, derivation } = analysis;
  if (!derivation) return [];
  return [...hintParts(derivation, editor.settings, sightOf(file, range), proved)].flatMap(
    ([node, parts]) => {
      const position = positionBehind(file, node);
      if (position.line < range.start.line || position.line > range.end.line) return [];
      const hint: InlayHint = {
        position,
        label: label(parts, editor, ({ text }) => ({ value: text })),
        kind: InlayHintKind.Type,
        paddingLeft: true,
        data: { uri: editor.uriOf(file.path), path: pathOf(node) } satisfies Origin,
      };
      return [editor.resolvesHints ? hint : { ...hint, label: explained(parts, position, analysis, editor) }];
    },
  );
}

/** The lines of a range, in which hints may be shown. */
function sightOf(file: SourceFile, { start, end }: Range): Sight {
  const from = file.lines.offset({ line: start.line, character: 0 });
  const to = file.lines.offset({ line: end.line + 1, character: 0 });
  const chunks: Chunk[] = [];
  for (const [chunk, at] of file.chunks) if (at <= to && at + chunk.text.length >= from) chunks.push(chunk);
  const holds = (place: Node) => {
    const at = file.chunks.get(place.chunk)!;
    const key = keyOf(place);
    const first = key && key.chunk === place.chunk ? Math.min(key.start, place.start) : place.start;
    return at + first <= to && from <= at + place.end;
  };
  return { chunks, holds };
}

/** The hint with the formula of each number and a link to its inputs. */
export function resolvedHint(
  analysis: Analysis,
  hint: InlayHint,
  editor: Editor,
  proved?: Proved,
): InlayHint {
  const { file, derivation } = analysis;
  const { path } = hint.data as Origin;
  const line = { start: hint.position, end: hint.position };
  const all = derivation ? [...hintParts(derivation, editor.settings, sightOf(file, line), proved)] : [];
  const isHere = (node: Node) => pathText(pathOf(node)) === pathText(path);
  const parts = all.find(([node]) => isHere(node))?.[1];
  if (!parts) return hint;
  const full = explained(parts, hint.position, analysis, editor);
  return isSameText(full, hint.label) ? { ...hint, label: full } : hint;
}

/** The text may have changed since the hint was shown; the editor then requests new hints anyway. */
function isSameText(label: readonly InlayHintLabelPart[], shown: InlayHint['label']): boolean {
  return (
    Array.isArray(shown) && shown.map(({ value }) => value).join() === label.map(({ value }) => value).join()
  );
}

/** As many parts as the editor shows whole, and a last one that says how many more there are, and explains them. */
function fitted(parts: readonly HintPart[], { hintLength = Infinity }: Editor): readonly HintPart[] {
  const lengthOf = (some: readonly HintPart[]) => some.map(({ text }) => text).join(BETWEEN).length;
  if (lengthOf(parts) <= hintLength) return parts;
  for (let count = parts.length - 1; count > 1; count--) {
    const shown = [...parts.slice(0, count), rest(parts.slice(count))];
    if (lengthOf(shown) <= hintLength) return shown;
  }
  return parts.length > 1 ? [parts[0]!, rest(parts.slice(1))] : parts;
}

const rest = (parts: readonly HintPart[]): HintPart => ({
  text: `${parts.length} more`,
  words: () => parts.map((part) => `**${prose(part.text)}**\n\n${part.words()}`).join('\n\n---\n\n'),
  inputs: () => parts.flatMap((part) => part.inputs()),
});

const BETWEEN = ' · ';

function label(
  parts: readonly HintPart[],
  editor: Editor,
  shown: (part: HintPart) => InlayHintLabelPart,
): InlayHintLabelPart[] {
  return fitted(parts, editor).flatMap((part, i) => [...(i > 0 ? [{ value: BETWEEN }] : []), shown(part)]);
}

function explained(
  parts: readonly HintPart[],
  position: Position,
  analysis: Analysis,
  editor: Editor,
): InlayHintLabelPart[] {
  return label(parts, editor, (part) => ({
    value: part.text,
    tooltip: { kind: MarkupKind.Markdown, value: part.words() },
    ...wayTo(part.inputs(), position, analysis, editor),
  }));
}

/** A command that lists all inputs, if the editor has one; otherwise the location of the nearest. */
function wayTo(
  inputs: readonly Node[],
  position: Position,
  { file, files }: Analysis,
  editor: Editor,
): Pick<InlayHintLabelPart, 'location' | 'command'> {
  const places = inputs.flatMap((node) => {
    const where = files.find(({ path }) => path === node.chunk.file);
    return where ? [locationOf(where, keyNode(node), editor)] : [];
  });
  const [nearest] = places;
  if (!nearest) return {};
  if (editor.showPlaces === undefined) return { location: nearest };
  const title = 'Show inputs';
  const given: ShowPlacesArguments = [editor.uriOf(file.path), position, places];
  return { command: { title, command: editor.showPlaces, arguments: [...given] } };
}

/** The position after a value on one line, or after the key and its colon if the value spans several lines. */
export function positionBehind(file: SourceFile, node: Node): Position {
  const key = keyOf(node);
  const written = node.chunk.text.slice(node.start, node.end);
  const isOneLine = node.type === 'scalar' || (node.flow && !written.includes('\n'));
  if (isOneLine || !key) return file.lines.position(offsetsOf(file, node).end);
  return file.lines.position(offsetsOf(file, key).end + 1);
}
