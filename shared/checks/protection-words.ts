import { type Limit, type Threshold, unitOf } from '../derived/protection.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { formatQuantity, formatStated } from './words.ts';

/** The loops that name a sensor, with the quantity that it must measure. */
export const quantityOfLoop = [
  ['lambda', 'lambda'],
  ['knock', 'knock_intensity'],
] as const;

/** `Oil pressure`, `Exhaust gas temperature 2`: the quantity of a limit, at the start of a sentence. */
export function quantityLabel(name: string): string {
  const measured = measuredQuantity(name);
  if (!measured) return name;
  return measured.index === undefined ? measured.entry.label : `${measured.entry.label} ${measured.index}`;
}

/** A value in the unit in which the threshold is written. */
export const inUnitOf = (threshold: Threshold, canonical: number): string =>
  formatQuantity(canonical, unitOf(threshold), 4);

/** ` at 3000 rpm`: the place on the axis of a limit's curves; nothing for single values. */
export function atPlace(limit: Limit, x: number | undefined): string {
  if (x === undefined) return '';
  const curve = [limit.caution, limit.warning].find((threshold) => threshold?.type === 'table');
  return curve?.type === 'table' ? ` at ${formatStated(x, curve.x?.unit ?? '')}` : '';
}
