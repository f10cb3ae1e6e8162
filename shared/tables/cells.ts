import { counted } from '../counted.ts';
import { maximumOf } from '../extremes.ts';
import { isFault, type Kind, parseAs, toUnit } from '../quantity/index.ts';
import { decimalsOf, type Spelling, spell, spellingOf, stepOf } from '../spelling.ts';
import { type Block, writtenPoints } from './block.ts';
import {
  type Change,
  differenceUnit,
  isRefusal,
  largestChange,
  largestWords,
  type Refusal,
  refuse,
} from './change.ts';
import { gridEdits, whyFixed } from './grid-edits.ts';
import { PLAIN, readPasted, withPasted } from './paste.ts';
import {
  type Cells,
  fillBetweenCorners,
  heightOf,
  mapCells,
  type Rectangle,
  smooth,
  widthOf,
} from './surface.ts';

/** A change of some cells. `text` is what the user typed. */
export type CellOperation =
  | { readonly kind: 'set' | 'add' | 'scale' | 'paste'; readonly text: string }
  | { readonly kind: 'fill' | 'smooth' };

/** Changes the cells of a block. Cells that keep their value keep their spelling; the others are spelled like the table. */
export function changeCells(block: Block, operation: CellOperation): Change | Refusal {
  const { table } = block;
  const fixed = whyFixed(table, false);
  if (fixed) return refuse(fixed);
  const before = table.rows.map((row) => row.map((cell) => cell.value as number));
  const made = compute(block, operation, before);
  if (isRefusal(made)) return made;
  const { area = block.area } = made;
  const numbers = made.cells.flat();
  if (!numbers.every(Number.isFinite)) return refuse('The new value of a cell would be too large.');
  const spelling = withDecimals(spellingOf(table.rows.flat().map(({ text }) => text)), made.decimals);
  const texts = made.cells.map((row, r) =>
    row.map((cell, c) => {
      const node = table.rows[r]![c]!;
      const text = spell(cell, spelling);
      return Number(text) === node.value ? node.text : text;
    }),
  );
  const after = texts.map((row) => row.map(Number));
  const x = writtenPoints(table.x);
  const y = table.y && writtenPoints(table.y);
  const changed = table.rows.flatMap((row, r) =>
    row.flatMap((node, c) => (after[r]![c] === node.value ? [] : [{ node, text: texts[r]![c]! }])),
  );
  const isRounded = made.cells.some((row, r) =>
    row.some((cell, c) => Math.abs(cell - after[r]![c]!) > 1e-9 * Math.abs(cell)),
  );
  return {
    title: `${made.title} ${counted(heightOf(area) * widthOf(area), 'cell')}${made.by}`,
    summary: [
      largestWords(table, largestChange(before, after, x, y)),
      ...(isRounded ? [`rounded to the nearest ${stepOf(spelling)}`] : []),
    ].join(', '),
    edits: gridEdits(table, { rows: indices(texts), columns: indices(x), texts }),
    cells: changed,
  };
}

interface Computed {
  readonly title: string;
  /** Follows the number of cells in the title. */
  readonly by: string;
  readonly cells: Cells;
  /** The most decimals in the numbers that the user gave. */
  readonly decimals: number;
  /** The cells that are changed if they are not those of the block. */
  readonly area?: Rectangle;
}

function compute({ table, area }: Block, operation: CellOperation, cells: Cells): Computed | Refusal {
  const x = writtenPoints(table.x);
  const y = table.y ? writtenPoints(table.y) : [0];
  switch (operation.kind) {
    case 'set': {
      const read = readNumber(table.kind, operation.text, table.unit);
      if (isRefusal(read)) return read;
      const by = ` to ${operation.text.trim()}`;
      return { title: 'Set', by, cells: mapCells(cells, area, () => read.number), decimals: read.decimals };
    }
    case 'add': {
      const read = readDifference(operation.text);
      if (isRefusal(read)) return read;
      const sum = (cell: number) => cell + read.number;
      return {
        title: read.number < 0 ? 'Lower' : 'Raise',
        by: ` by ${operation.text.trim().replace(/^[-+]/, '')} ${differenceUnit(table.unit)}`.trimEnd(),
        cells: mapCells(cells, area, sum),
        decimals: read.decimals,
      };
    }
    case 'scale': {
      const read = readFactor(operation.text);
      if (isRefusal(read)) return read;
      return {
        title: read.title,
        by: ` by ${read.by}`,
        cells: mapCells(cells, area, (cell) => cell * read.number),
        decimals: 0,
      };
    }
    case 'paste': {
      const pasted = readPasted(operation.text, area, cells.length, cells[0]!.length);
      if (isRefusal(pasted)) return pasted;
      const decimals = maximumOf(pasted.texts.flat().map(decimalsOf));
      return { title: 'Paste', by: '', cells: withPasted(cells, pasted), decimals, area: pasted.area };
    }
    case 'fill':
      if (heightOf(area) * widthOf(area) < 3 || Math.max(heightOf(area), widthOf(area)) < 3)
        return refuse('The selection has no cells between its corners to fill.');
      return {
        title: 'Fill',
        by: ' between the corners',
        cells: fillBetweenCorners(cells, area, x, y),
        decimals: 0,
      };
    case 'smooth':
      return { title: 'Smooth', by: '', cells: smooth(cells, area, x, y), decimals: 0 };
  }
}

interface Typed {
  readonly number: number;
  readonly decimals: number;
}

/** A typed value: a plain number in the table's unit, or a number with a unit of the same kind. */
function readNumber(kind: Kind, text: string, unit: string): Typed | Refusal {
  const typed = text.trim();
  if (PLAIN.test(typed)) return { number: Number(typed), decimals: decimalsOf(typed) };
  const own = parseAs(kind, `0 ${unit}`.trim());
  const read = parseAs(kind, typed);
  if (isFault(read) || isFault(own))
    return refuse(`Enter a number${unit ? ` in ${unit}, or a number with its unit` : ''}.`);
  if (read.reference !== own.reference)
    return refuse(`The table is in ${unit}. Enter a value with the same pressure reference.`);
  const number = own.unit ? toUnit(read.canonical, own.unit) : read.canonical;
  const isOwn = read.unit === own.unit;
  return { number, decimals: isOwn ? decimalsOf(typed.slice(...read.numberRange)) : 0 };
}

function readDifference(text: string): Typed | Refusal {
  const typed = text.trim();
  if (!PLAIN.test(typed)) return refuse("Enter a number to add in the table's unit, such as 2 or -0.5.");
  return { number: Number(typed), decimals: decimalsOf(typed) };
}

interface Factor {
  readonly title: 'Scale' | 'Divide';
  readonly number: number;
  /** As the user typed it. */
  readonly by: string;
}

/** `1.05`, `/2` or `+5 %`. A percentage without a sign is ambiguous and refused. */
function readFactor(text: string): Factor | Refusal {
  const typed = text.trim();
  if (PLAIN.test(typed)) return { title: 'Scale', number: Number(typed), by: typed };
  const divisor = /^\/\s*(.+)$/.exec(typed)?.[1];
  if (divisor !== undefined && PLAIN.test(divisor) && Number(divisor) !== 0)
    return { title: 'Divide', number: 1 / Number(divisor), by: divisor };
  const percent = /^([-+].*\S)\s*%$/.exec(typed)?.[1];
  if (percent === undefined || !PLAIN.test(percent))
    return refuse('Enter a factor, such as 1.05, or a signed percentage, such as +5 %.');
  return { title: 'Scale', number: 1 + Number(percent) / 100, by: typed };
}

const withDecimals = (spelling: Spelling, decimals: number): Spelling => ({
  ...spelling,
  decimals: Math.max(spelling.decimals, decimals),
});

export const indices = (list: readonly unknown[]): number[] => list.map((_, i) => i);
