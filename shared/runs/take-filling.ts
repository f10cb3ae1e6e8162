import type { Installation } from '../configuration/installation.ts';
import { maximumOf } from '../extremes.ts';
import { splitUnit, toUnit } from '../quantity/index.ts';
import { type Edit, replace } from '../source/edit.ts';
import type { MeasuredCell } from './filling.ts';

/** The decimals of a number as written. */
const decimalsOf = (text: string): number => /\.(\d+)$/.exec(text.trim())?.[1]?.length ?? 0;

/** The edits that write the believed cells into the map of an engine file, each in the precision of the table. */
export function takenFilling({ engines }: Installation, cells: readonly MeasuredCell[]): Edit[] {
  const edits = cells.flatMap(({ mapSet, row, column, measured, believed }): Edit[] => {
    const engine = engines.find((one) => one.mapSet === mapSet) ?? engines[0]!;
    const table = engine.configuration.fuel?.volumetric_efficiency;
    const node = table?.rows[row]?.[column];
    if (!believed || !table || !node) return [];
    const written = table.rows.flat().map(({ text }) => decimalsOf(text));
    const unit = splitUnit(table.unit)?.unit;
    const text = (unit ? toUnit(measured, table.unit) : measured).toFixed(maximumOf(written));
    return text === node.text ? [] : [replace(node, text)];
  });
  return edits;
}
