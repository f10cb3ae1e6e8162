import type { Analysis } from '../../shared/analysis.ts';
import type { Edit } from '../../shared/source/edit.ts';
import { offsetsOf } from '../../shared/source/source-file.ts';
import { type Block, blockAt, type NamedTable, tablesIn } from '../../shared/tables/block.ts';
import { type Change, isRefusal, type Refusal } from '../../shared/tables/change.ts';
import { analysed } from '../features/marked.ts';

/** A text with a table, and the cells between `$[` and `]$`. */
export interface Drawn {
  readonly analysis: Analysis;
  readonly table: NamedTable;
  readonly block: Block;
}

/** A map over speed and pressure as written in a file, with the given rows, one per line. */
export function mapText(rows: string, x = '1000, 2000, 4000', y = '40, 80, 100'): string {
  return [
    'fuel:',
    '  volumetric_efficiency:',
    `    x: { quantity: engine_speed, unit: rpm, breakpoints: [${x}] }`,
    `    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [${y}] }`,
    '    unit: "%"',
    '    values:',
    ...rows
      .trim()
      .split('\n')
      .map((row) => `      - ${row.trim()}`),
    '',
  ].join('\n');
}

export function drawn(text: string): Drawn {
  const start = text.indexOf('$[');
  const end = text.indexOf(']$');
  const plain = text.replace('$[', '').replace(']$', '');
  const analysis = analysed(plain);
  const tables = tablesIn(analysis);
  const selection = start < 0 ? { start: plain.length, end: plain.length } : { start, end: end - 2 };
  const block = blockAt(analysis.file, tables, [selection]);
  const [first] = tables;
  if (!first) throw new Error('there is no table in the text');
  const all = {
    top: 0,
    left: 0,
    bottom: first.table.rows.length - 1,
    right: first.table.rows[0]!.length - 1,
  };
  return { analysis, table: block ?? first, block: block ?? { ...first, area: all } };
}

/** The text after a change; a refusal fails the test with its message. */
export function changed({ analysis }: Drawn, outcome: Change | Refusal): string {
  if (isRefusal(outcome)) throw new Error(outcome.refusal);
  return applied(analysis, outcome.edits);
}

export function applied({ file }: Analysis, edits: readonly Edit[]): string {
  const placed = edits.map(({ span, text }) => ({ ...offsetsOf(file, span), text }));
  placed.sort((a, b) => a.start - b.start || a.end - b.end);
  placed.forEach((edit, i) => {
    if (i > 0 && edit.start < placed[i - 1]!.end) throw new Error('two edits overlap');
  });
  return placed.reduceRight(
    (text, edit) => text.slice(0, edit.start) + edit.text + text.slice(edit.end),
    file.text,
  );
}

/** The rows of the map in a text from `mapText`. */
export const rowsOf = (text: string): string[] =>
  text.split('\n').flatMap((line) => /^ {6}- (.*)$/.exec(line)?.[1] ?? []);
