import type { Installation } from '../configuration/installation.ts';
import { splitUnit, toUnit } from '../quantity/index.ts';
import { type Edit, replace } from '../source/edit.ts';
import { spell, spellingOf } from '../spelling.ts';
import type { FilledMap } from './result.ts';

/** The edits that write the believed cells into the map of an engine file, each in the precision of the table. */
export function takenFilling({ engines }: Installation, maps: readonly FilledMap[]): Edit[] {
  return maps.flatMap(({ sum, cells }) => {
    const engine = engines.find(({ mapSet = '' }) => sum.mapSets.has(mapSet));
    const table = engine?.configuration.fuel?.volumetric_efficiency;
    if (!table) return [];
    const spelling = spellingOf(table.rows.flat().map(({ text }) => text));
    const unit = splitUnit(table.unit)?.unit;
    return cells.flatMap(({ row, column, measured, believed }): Edit[] => {
      const node = table.rows[row]?.[column];
      if (!believed || !node) return [];
      const text = spell(unit ? toUnit(measured, table.unit) : measured, spelling);
      return Number(text) === Number(node.text) ? [] : [replace(node, text)];
    });
  });
}
