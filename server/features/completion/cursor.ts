import type { Position } from 'vscode-languageserver';
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

/** The place where a word is being typed. */
export interface Cursor {
  readonly role: 'key' | 'value';
  /** The path of the mapping in which the key is typed, or of the value. */
  readonly path: readonly PathStep[];
  /** The mapping or list around the word, parsed with the word in it. */
  readonly parent: ScalarNode['parent'];
  /** The other entries of the mapping. */
  readonly siblings: ReadonlyMap<string, Node>;
  /** The part of the word before the cursor. */
  readonly before: string;
  /** The extent of the word, before and after the cursor. */
  readonly start: number;
  readonly end: number;
  /** Whether the key already has its colon. */
  readonly hasColon: boolean;
  readonly isFlow: boolean;
  readonly isQuoted: boolean;
}

/** A word inserted at the cursor, so that an incomplete text can be parsed. */
const WORD = 'cursor__here';

/** On a line with nothing else, only a key can be typed. */
const BEGINS_LINE = /^ *[\w.-]*$/;

/** Parses the text with a word at the cursor; undefined in comments and where nothing can be completed. */
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
  // After a bare colon, the word continues into the value, or in an incomplete text into the next line.
  const isOnOneLine = probe.lines.position(span.start).line === probe.lines.position(span.end).line;
  if (before.endsWith(':') || !isOnOneLine) return undefined;
  const added = isAlone && span.end > offset + WORD.length ? WORD.length + 1 : WORD.length;
  const isKey = mappingOfKey(node) !== undefined;
  const path = isKey ? namedPath(node).slice(0, -1) : namedPath(node);
  // Found by its path, because in a text parsed in chunks the parent of a key has only the entries of its chunk.
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
