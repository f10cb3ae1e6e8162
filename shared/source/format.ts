import type { SourceFile } from './source-file.ts';
import type { Chunk, MappingNode, Node, SequenceNode } from './tree.ts';
import { linesOfText, nodesIn } from './walk.ts';

/** Blanks that take the place of others, in UTF-16 units from the start of the text. */
export interface BlankEdit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/**
 * Aligns the columns of tables and takes the blanks from the ends of lines. Nothing but blanks is touched, and none that
 * means something. What cannot be read is left as it stands.
 */
export function formatEdits(file: SourceFile): BlankEdit[] {
  const edits = [...trailingBlanks(file)];
  for (const node of nodesIn(file)) {
    const isWhole = !isBroken(node.chunk);
    if (node.type !== 'mapping' || !isWhole) continue;
    for (const edit of aligned(file, rowsOf(node))) edits.push(edit);
  }
  return edits
    .filter(({ start, end, text }) => file.text.slice(start, end) !== text)
    .sort((a, b) => a.start - b.start);
}

const isBroken = ({ faults }: Chunk): boolean =>
  faults.some(({ rule }) => rule === 'syntax-error' || rule === 'merge-conflict');

function* trailingBlanks(file: SourceFile): Generator<BlankEdit> {
  const kept = linesOfText(file);
  const broken = [...file.chunks].filter(([chunk]) => isBroken(chunk));
  const isInBroken = (offset: number) =>
    broken.some(([{ text }, start]) => start <= offset && offset <= start + text.length);
  for (const [line, start] of file.lines.starts.entries()) {
    const text = file.lines.line(line);
    const end = start + text.length;
    if (!kept.has(line) && !isInBroken(end)) yield { start: start + text.trimEnd().length, end, text: '' };
  }
}

/**
 * The lists whose members stand in columns: the rows of `values`, and the breakpoints above them where they have a line
 * to themselves.
 */
function rowsOf(table: MappingNode): SequenceNode[] {
  const values = table.get('values');
  const x = table.get('x');
  if (values?.type !== 'sequence') return [];
  const rows: Node[] = values.items.some(({ type }) => type === 'sequence') ? values.items : [values];
  const breakpoints = x?.type === 'mapping' && !x.flow ? x.get('breakpoints') : undefined;
  const all = breakpoints ? [breakpoints, ...rows] : rows;
  const lists = all.filter((row) => row.type === 'sequence' && row.flow && row.chunk === table.chunk);
  return lists.length === all.length ? (lists as SequenceNode[]) : [];
}

function* aligned(file: SourceFile, rows: readonly SequenceNode[]): Generator<BlankEdit> {
  // One list alone has no columns.
  if (rows.length < 2 || !standApart(rows)) return;
  const widths: number[] = [];
  for (const { items } of rows) {
    items.forEach(({ start, end }, i) => {
      widths[i] = Math.max(widths[i] ?? 0, end - start);
    });
  }
  for (const row of rows) yield* spaced(file.chunks.get(row.chunk)!, row, widths);
}

/** Each on a line of its own, of plain members with commas between and no comment, none of them an alias. */
function standApart(rows: readonly SequenceNode[]): boolean {
  let last = -1;
  return rows.every((row) => {
    const { text } = row.chunk;
    const lineStart = text.lastIndexOf('\n', row.start) + 1;
    const isNext = lineStart > last;
    last = lineStart;
    const isPlain = row.items.every(
      (cell) => cell.type === 'scalar' && cell.parent === row && cell.end > cell.start,
    );
    return isNext && isPlain && isSpelledOut(row);
  });
}

/** Whether only commas and blanks stand between the brackets and the members. */
function isSpelledOut(row: SequenceNode): boolean {
  const { text } = row.chunk;
  let at = row.start + 1;
  for (const [i, cell] of row.items.entries()) {
    if (!/^[ \t]*$/.test(text.slice(at, cell.start).replace(i > 0 ? ',' : '', ''))) return false;
    at = cell.end;
  }
  return /^[ \t]*,?[ \t]*\]$/.test(text.slice(at, row.end)) && text[row.start] === '[';
}

/** The members of a row, each at the right of its column, with a blank behind every comma. */
function* spaced(at: number, row: SequenceNode, widths: readonly number[]): Generator<BlankEdit> {
  const { text } = row.chunk;
  let from = row.start + 1;
  for (const [i, { start, end }] of row.items.entries()) {
    const padding = ' '.repeat(widths[i]! - (end - start));
    yield { start: at + from, end: at + start, text: i === 0 ? padding : `, ${padding}` };
    from = end;
  }
  const rest = text.slice(from, row.end);
  yield { start: at + from, end: at + row.end, text: rest.replaceAll(/[ \t]/g, '') };
}
