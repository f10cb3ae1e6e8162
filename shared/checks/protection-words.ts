import { type Limit, type Threshold, unitOf } from '../derived/protection.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { formatQuantity } from './words.ts';

/** `Oil pressure`, `Exhaust gas temperature 2`: what a limit watches, as a sentence begins. */
export function quantityLabel(name: string): string {
  const measured = measuredQuantity(name);
  if (!measured) return name;
  return measured.index === undefined ? measured.entry.label : `${measured.entry.label} ${measured.index}`;
}

/** A value in the unit in which the threshold is written. */
export const inUnitOf = (threshold: Threshold, canonical: number): string =>
  formatQuantity(canonical, unitOf(threshold));

/** ` at 3000 rpm`: the place on the axis that a limit's curves run over; nothing for single values. */
export function atPlace(limit: Limit, x: number | undefined): string {
  if (x === undefined) return '';
  const curve = [limit.caution, limit.warning].find((threshold) => threshold?.type === 'table');
  return curve?.type === 'table' ? ` at ${formatQuantity(x, curve.x?.unit ?? '')}` : '';
}
