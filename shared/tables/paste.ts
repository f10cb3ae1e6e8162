import { counted } from '../counted.ts';
import { type Refusal, refuse } from './change.ts';
import { heightOf, mapCells, type Rectangle, widthOf } from './surface.ts';

/** A number without a unit. */
export const PLAIN = /^[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[-+]?\d+)?$/i;

/** Cells copied from a spreadsheet, as numbers and as text. */
export interface Pasted {
  readonly area: Rectangle;
  readonly numbers: readonly (readonly number[])[];
  readonly texts: readonly (readonly string[])[];
}

/**
 * Reads rows of cells separated by tabs, as spreadsheets copy them, for the selected cells of a table of `rows` × `columns`.
 * A single selected cell is the first of those that are replaced. Any other size than that of the selection is refused, as is
 * a cell that is not a plain number: a decimal comma could as well be a separator of thousands.
 */
export function readPasted(
  text: string,
  selected: Rectangle,
  rows: number,
  columns: number,
): Pasted | Refusal {
  const texts = text
    .replace(/(?:\r\n?|\n)$/, '')
    .split(/\r\n?|\n/)
    .map((row) => row.split('\t').map((cell) => cell.trim().replace(/^−/, '-')));
  const [height, width] = [texts.length, texts[0]!.length];
  if (texts.some((row) => row.length !== width)) return refuse('The copied rows differ in length.');
  const wrong = texts.flat().find((cell) => !PLAIN.test(cell));
  if (wrong !== undefined)
    return refuse(
      wrong === ''
        ? 'A copied cell is empty.'
        : `The copied cell "${wrong.slice(0, 30)}" is not a plain number, such as 82.5 with a decimal point and no unit.`,
    );
  const isOne = heightOf(selected) * widthOf(selected) === 1;
  const { top, left } = selected;
  const area = { top, left, bottom: top + height - 1, right: left + width - 1 };
  if (!isOne && (height !== heightOf(selected) || width !== widthOf(selected)))
    return refuse(
      `${sizeText(height, width)} copied, ${sizeText(heightOf(selected), widthOf(selected))} selected. Select one cell, or as many as were copied.`,
    );
  if (area.bottom >= rows || area.right >= columns)
    return refuse(
      `${sizeText(height, width)} copied; from the selected cell the table has ${sizeText(rows - top, columns - left)}.`,
    );
  return { area, numbers: texts.map((row) => row.map(Number)), texts };
}

/** The cells with the pasted ones in their place. */
export const withPasted = (cells: readonly (readonly number[])[], { area, numbers }: Pasted): number[][] =>
  mapCells(cells, area, (_, row, column) => numbers[row - area.top]![column - area.left]!);

/** `2 rows × 3 columns` */
const sizeText = (height: number, width: number): string =>
  `${counted(height, 'row')} × ${counted(width, 'column')}`;
