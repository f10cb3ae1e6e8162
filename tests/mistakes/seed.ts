import { removeEntry } from '../../shared/source/edit.ts';
import { offsetsOf, readSource, type SourceFile } from '../../shared/source/source-file.ts';
import { type Node, nodeAtPath, type PathStep, pathText } from '../../shared/source/tree.ts';
import type { Change, Mistake } from './mistake.ts';

/** A stretch of text, in UTF-16 units, and what replaces it. */
type Edit = readonly [start: number, end: number, text: string];

/** The text of a sound file with a change. Throws if it does not apply, or changes nothing. */
export function changed(path: string, sound: string, change: Change): string {
  const file = readSource(path, sound);
  const edits = [...editsOf(file, change)].sort(([a], [b]) => b - a);
  const text = edits.reduce((kept, [start, end, put]) => kept.slice(0, start) + put + kept.slice(end), sound);
  if (text === sound) throw new Error(`"${change.title}" changes nothing.`);
  return text;
}

function editsOf(file: SourceFile, change: Change): readonly Edit[] {
  const { find, at, remove } = change;
  if (find !== undefined) return [textEdit(file.text, find, change.replace ?? '')];
  if (remove !== undefined) return listed(remove).flatMap((path) => removal(file, path));
  return listed(at!).flatMap((path) => editsAt(file, path, change));
}

function editsAt(file: SourceFile, at: string, change: Change): readonly Edit[] {
  const { column, copy_of, exchange_with, moved, write } = change;
  if (column !== undefined) return listed(column).flatMap((one) => [...columnEdits(file, at, one, change)]);
  if (moved !== undefined) return movedItems(file, at, moved);
  if (exchange_with !== undefined) return exchange(file, at, String(exchange_with));
  if (copy_of !== undefined) return [copyEdit(file, at, String(copy_of))];
  return [valueEdit(file, at, write ?? changedNumbers(textAt(file, at), change))];
}

const listed = <Item>(one: Item | readonly Item[]): readonly Item[] => [one].flat() as Item[];

function textEdit(text: string, find: string, put: string): Edit {
  const start = text.indexOf(find);
  if (start < 0) throw new Error(`No text "${find}".`);
  if (text.includes(find, start + 1)) throw new Error(`"${find}" occurs more than once.`);
  return [start, start + find.length, put];
}

function removal(file: SourceFile, path: string): Edit[] {
  const { parent, step } = nodeAt(file, path);
  const entry = parent?.type === 'mapping' ? parent.entry(String(step)) : undefined;
  if (parent?.type !== 'mapping' || !entry) throw new Error(`${path} is no entry.`);
  return removeEntry(file, parent, entry).map(({ span, text }) => {
    const { start, end } = offsetsOf(file, span);
    return [start, end, text];
  });
}

function valueEdit(file: SourceFile, path: string, text: string): Edit {
  const { start, end } = placeAt(file, path);
  return [start, end, text];
}

function exchange(file: SourceFile, one: string, other: string): Edit[] {
  return [copyEdit(file, one, other), copyEdit(file, other, one)];
}

/** Each item of a list takes the place of a later or earlier one; the item at the end that is left over stands twice. */
function movedItems(file: SourceFile, at: string, by: number): Edit[] {
  const list = nodeAt(file, at);
  const last = list.type === 'sequence' ? list.items.length - 1 : -1;
  return Array.from({ length: last + 1 }, (_, i) =>
    copyEdit(file, `${at}[${i}]`, `${at}[${Math.min(last, Math.max(0, i - by))}]`),
  );
}

/** The value at `from` pasted over the one at `to`, its lines indented as they must be there. */
function copyEdit(file: SourceFile, to: string, from: string): Edit {
  const shift = columnOf(file, to) - columnOf(file, from);
  const moved = textAt(file, from).replace(/\n( *)/g, (_, { length }) => `\n${' '.repeat(length + shift)}`);
  return valueEdit(file, to, moved);
}

const columnOf = (file: SourceFile, path: string): number =>
  file.lines.position(placeAt(file, path).start).character;

function* columnEdits(file: SourceFile, at: string, column: number, change: Change): Generator<Edit> {
  const rows = nodeAt(file, at);
  const { copy_of, exchange_with } = change;
  const other = copy_of ?? exchange_with;
  for (const row of (rows.type === 'sequence' ? rows.items : []).keys()) {
    const cell = `${at}[${row}][${column}]`;
    const source = other === undefined ? undefined : `${at}[${row}][${other}]`;
    if (exchange_with !== undefined) yield* exchange(file, cell, source!);
    else
      yield valueEdit(file, cell, source ? textAt(file, source) : changedNumbers(textAt(file, cell), change));
  }
}

/** The text with every number changed; each keeps its decimals. */
function changedNumbers(text: string, { times = 1, add = 0 }: Change): string {
  return text.replace(/-?\d+(?:\.\d+)?/g, (written) =>
    (Number(written) * times + add).toFixed(written.split('.')[1]?.length ?? 0),
  );
}

function textAt(file: SourceFile, path: string): string {
  const { start, end } = placeAt(file, path);
  return file.text.slice(start, end);
}

function placeAt(file: SourceFile, path: string): { start: number; end: number } {
  return offsetsOf(file, nodeAt(file, path));
}

function nodeAt(file: SourceFile, path: string): Node {
  const node = nodeAtPath(file.root, steps(path));
  if (!node) throw new Error(`Nothing at ${path}.`);
  return node;
}

/** The steps of a path such as `fuel.target_lambda.values[2]`; a key that contains dots or brackets is in quotes. */
function steps(path: string): PathStep[] {
  return Array.from(path.matchAll(/"([^"]+)"|\[(\d+)\]|([^.[\]"]+)/g), ([, quoted, index, key]) =>
    index === undefined ? (quoted ?? key!) : Number(index),
  );
}

/** Where a finding about a mistake counts. */
export function placesOf({ title, at, remove, near }: Mistake): readonly string[] {
  const paths = listed(at ?? remove ?? []);
  if (!near && paths.length === 0) throw new Error(`"${title}" does not say where a finding counts.`);
  return near ?? paths.map(placeAround);
}

/** The table of the edited cells, or the mapping that contains the edited key. */
function placeAround(path: string): string {
  const all = steps(path);
  const table = all.findIndex((step) => ['x', 'y', 'values'].includes(String(step)));
  return pathText(table > 0 ? all.slice(0, table) : all.slice(0, -1));
}

/** Whether a finding at `path` is at or beside a place: in it, or on the mapping that contains it. */
export function isNear(path: string, place: string): boolean {
  const under = path.slice(place.length);
  if (path.startsWith(place) && (under === '' || under.startsWith('.') || under.startsWith('['))) return true;
  const around = place.slice(0, place.lastIndexOf('.'));
  return around.includes('.') && path === around;
}
