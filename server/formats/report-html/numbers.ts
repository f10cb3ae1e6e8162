import { formatQuantity, toUnit } from '../../../shared/quantity/index.ts';

/** A canonical number as people read it in a unit that stands elsewhere, such as at the head of a column. */
export function numberText(canonical: number, unit: string): string {
  const text = formatQuantity(canonical, unit);
  return unit === '' ? text : text.slice(0, -unit.length).trimEnd();
}

/** A canonical number in the unit of an axis or of cells, which may have none. */
export function numberIn(canonical: number, unit: string): number {
  return unit === '' ? canonical : toUnit(canonical, unit);
}
