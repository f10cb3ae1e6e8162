import type { Position } from 'vscode-languageserver/node';
import { nodeAtOffset, offsetsOf, rewritten, type SourceFile } from '../../../shared/source/source-file.ts';
import {
  type MappingNode,
  mappingOfKey,
  type Node,
  nodeAtPath,
  type PathStep,
  type ScalarNode,
} from '../../../shared/source/tree.ts';
import { namedPath } from '../spot.ts';

/** Where a word is being typed. */
export interface Cursor {
  readonly role: 'key' | 'value';
  /** Of the mapping that the key is typed in, or of the value. */
  readonly path: readonly PathStep[];
  /** The mapping or list around the word, as it reads with the word in it. */
  readonly parent: ScalarNode['parent'];
  /** What the mapping holds besides the key being typed. */
  readonly siblings: ReadonlyMap<string, Node>;
  /** What is typed of the word, up to the cursor. */
  readonly before: string;
  /** What the word takes up in the text, before and behind the cursor. */
  readonly start: number;
  readonly end: number;
  /** A key that has its colon already. */
  readonly hasColon: boolean;
  readonly isFlow: boolean;
  readonly isQuoted: boolean;
}

/** A word that stands where the cursor is, so that a text with a gap can be read as what it is about to be. */
const WORD = 'cursor__here';

/** Only a key can be typed on a line that holds nothing else. */
const BEGINS_LINE = /^ *[\w.-]*$/;

/** Reads the text with a word at the cursor; undefined in comments and where nothing can be made of the place. */
export function cursorAt(file: SourceFile, position: Position): Cursor | undefined {
  const offset = file.lines.offset(position);
  const line = file.lines.line(position.line);
  const isAlone =
    BEGINS_LINE.test(line.slice(0, position.character)) && line.slice(position.character).trim() === '';
  const probe = rewritten(file, {
    range: { start: position, end: position },
    text: `${WORD}${isAlone ? ':' : ''}`,
  });
  const node = nodeAtOffset(probe, offset + 1);
  if (node?.type !== 'scalar' || !node.text.includes(WORD)) return undefined;
  const span = offsetsOf(probe, node);
  const before = node.text.slice(0, node.text.indexOf(WORD));
  // Behind a bare colon it runs on into the value, in a text with a gap into the next line: no word that is being typed.
  const isOnOneLine = probe.lines.position(span.start).line === probe.lines.position(span.end).line;
  if (before.endsWith(':') || !isOnOneLine) return undefined;
  const added = isAlone && span.end > offset + WORD.length ? WORD.length + 1 : WORD.length;
  const isKey = mappingOfKey(node) !== undefined;
  const path = isKey ? namedPath(node).slice(0, -1) : namedPath(node);
  // Found by its path: read in pieces, the parent of a key holds its own piece alone.
  const mapping = isKey ? nodeAtPath(probe.root, path) : undefined;
  const quote = node.style === 'quoted' ? 1 : 0;
  return {
    role: isKey ? 'key' : 'value',
    path,
    parent: node.parent,
    siblings: mapping?.type === 'mapping' ? keysBeside(mapping, node) : new Map(),
    before,
    start: span.start + quote,
    end: span.end - added - quote,
    hasColon: isKey && !isAlone && /^\s*:/.test(restOfLine(probe, span.end)),
    isFlow: node.parent?.flow ?? false,
    isQuoted: quote === 1,
  };
}

function restOfLine({ lines }: SourceFile, offset: number): string {
  const { line, character } = lines.position(offset);
  return lines.line(line).slice(character);
}

const keysBeside = ({ entries }: MappingNode, { text }: ScalarNode): Map<string, Node> =>
  new Map(entries.map(({ key, value }) => [key.text, value] as const).filter(([other]) => other !== text));
