import { minus, over, plus, type Ratio, times } from './exact.ts';
import type { Dimension } from './kinds.ts';

/**
 * A unit of measurement. The canonical unit of a dimension is the SI one (`m`, `m2`, `m3`, `kg`, `s`, `m/s`,
 * `K`, `Pa`, `V`, `A`, `ohm`, `H`, `F`, `Hz`, `W`, `Nm`, `J`, `kg/m3`, `m3/s`, `kg/s`, `kg/J`, `J/kg`), and
 * `bit`, `bit/s`, `AWG`; except `rpm` and `deg`, which are usual in the trade. That of a ratio is the plain number.
 */
export interface Unit {
  /** How we write it. */
  readonly symbol: string;
  /** Every accepted spelling, the symbol first. */
  readonly names: readonly string[];
  readonly dimension: Dimension;
  /** canonical = number · factor + offset */
  readonly factor: number;
  readonly offset?: number;
  /** Factor and offset without rounding. */
  readonly exactFactor: Ratio;
  readonly exactOffset: Ratio;
}

/** A number in `unit` as a number in the canonical unit. */
export function toCanonical(number: number, unit: Unit): number {
  const divisor = divisorOf(unit);
  return (divisor === undefined ? number * unit.factor : number / divisor) + (unit.offset ?? 0);
}

/** A number in the canonical unit as a number in `unit`. */
export function fromCanonical(canonical: number, unit: Unit): number {
  const aboveOffset = canonical - (unit.offset ?? 0);
  const divisor = divisorOf(unit);
  return divisor === undefined ? aboveOffset / unit.factor : aboveOffset * divisor;
}

/** A number in the unit, or without a unit, as a number in the canonical unit, without rounding. */
export const exactFromUnit = (number: Ratio, unit: Unit | undefined): Ratio =>
  unit ? plus(times(number, unit.exactFactor), unit.exactOffset) : number;

/** The inverse of `exactFromUnit`. */
export const exactToUnit = (canonical: Ratio, unit: Unit | undefined): Ratio =>
  unit ? over(minus(canonical, unit.exactOffset), unit.exactFactor) : canonical;

/**
 * The integer reciprocal of the factor, if it has one. A division by 1000 rounds once, a product with 0.001 twice, so 7 %
 * is 0.07 and not 0.07000000000000001.
 */
function divisorOf({ factor }: Unit): number | undefined {
  const divisor = Math.round(1 / factor);
  return factor < 1 && 1 / divisor === factor ? divisor : undefined;
}
