import type { SourceFile } from './source-file.ts';
import type { Chunk, MappingNode, Node, SequenceNode } from './tree.ts';
import { linesOfText, nodesIn } from './walk.ts';

/** Replaces blanks by other blanks. Offsets count UTF-16 units from the start of the text. */
export interface BlankEdit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/**
 * Aligns the columns of tables and removes trailing blanks. Only insignificant blanks are changed. Chunks with syntax
 * errors stay as they are.
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

/** The lists to align: the rows of `values`, and the breakpoints above them if they have their own line. */
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
  // A single list has no columns to align.
  if (rows.length < 2 || !standApart(rows)) return;
  const widths: number[] = [];
  for (const { items } of rows) {
    items.forEach(({ start, end }, i) => {
      widths[i] = Math.max(widths[i] ?? 0, end - start);
    });
  }
  for (const row of rows) yield* spaced(file.chunks.get(row.chunk)!, row, widths);
}

/** Whether each row is on its own line and contains only scalars and commas: no comments, no aliases. */
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

/** Whether a row contains only commas and blanks between its items and brackets. */
function isSpelledOut(row: SequenceNode): boolean {
  const { text } = row.chunk;
  let at = row.start + 1;
  for (const [i, cell] of row.items.entries()) {
    if (!/^[ \t]*$/.test(text.slice(at, cell.start).replace(i > 0 ? ',' : '', ''))) return false;
    at = cell.end;
  }
  return /^[ \t]*,?[ \t]*\]$/.test(text.slice(at, row.end)) && text[row.start] === '[';
}

/** Right-aligns the items of a row in their columns, with a space after each comma. */
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
