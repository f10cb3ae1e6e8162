import { groupedBy } from '../grouped-by.ts';
import { columnFormat, formatNumber, formatQuantity, splitUnit, toUnit } from '../quantity/index.ts';
import type { Step } from './change.ts';

/** The step from one number to another, both in the canonical unit; `unit` is the unit in which people read the value. */
export function stepBetween(was: number, is: number, unit: string): Step {
  const hasRatio = was > 0 && is >= 0 && Number.isFinite(is / was) && !hasArbitraryZero(unit);
  return { canonical: is - was, unit: stepUnit(unit), ratio: hasRatio ? is / was - 1 : undefined };
}

/** Zero is arbitrary on these scales, so a relative change such as "+50 %" of a gauge pressure means nothing. */
function hasArbitraryZero(unit: string): boolean {
  const reading = splitUnit(unit);
  if (reading?.reference === 'gauge') return true;
  return reading?.unit.dimension === 'temperature' || reading?.unit.dimension === 'angle';
}

/** The unit of a difference between two such values. */
export function stepUnit(unit: string): string {
  const reading = splitUnit(unit);
  if (!reading) return unit;
  if (reading.unit.dimension === 'temperature') return 'K';
  return reading.unit.symbol === '%' ? 'points' : reading.unit.symbol;
}

/** `+0.5 bar`, `−12 points` */
export function stepText(canonical: number, unit: string): string {
  const sign = canonical < 0 ? '−' : '+';
  const size = Math.abs(canonical);
  return sign + (unit === 'points' ? `${formatNumber(size * 100, 3)} points` : formatQuantity(size, unit, 3));
}

/** A difference as a number in its unit: 0.12 is 12 points. */
export function stepIn(canonical: number, unit: string): number {
  if (unit === 'points') return canonical * 100;
  return splitUnit(unit) ? toUnit(canonical, unit) : canonical;
}

/** Two differences in one unit with the same count of decimals: `14.0 → −2.5 points`. */
export function stepPair(was: number, is: number, unit: string): string {
  const numbers = [was, is].map((canonical) => stepIn(canonical, unit));
  const format = columnFormat(numbers);
  const texts = numbers.map((number) => format(number).replace('-', '−'));
  return `${texts.join(' → ')} ${unit}`.trimEnd();
}

/**
 * How far each value moved, those in one unit with the same count of decimals: `+16.7 %`, but `+3.2 points` for a
 * percentage and `+1.5 K` without a relative change. Empty for a value that is unchanged, as when only its limit moved.
 */
export function relativeStepTexts(steps: readonly (Step | undefined)[]): string[] {
  const moves = steps.map((step) => (step && step.canonical !== 0 ? moveOf(step) : undefined));
  const byUnit = groupedBy(
    moves.filter((move) => move !== undefined),
    ({ unit }) => unit,
  );
  const formats = new Map(
    [...byUnit].map(([unit, some]) => [unit, columnFormat(some.map(({ size }) => size))]),
  );
  return moves.map((move) =>
    move ? `${move.sign}${formats.get(move.unit)!(move.size)} ${move.unit}`.trimEnd() : '',
  );
}

/** `+16.7 %`; `+3.2 points` for a percentage, `+1.5 K` where a relative change means nothing. */
export const relativeStepText = (step: Step | undefined): string => relativeStepTexts([step])[0]!;

function moveOf({ canonical, unit, ratio }: Step) {
  const isRelative = ratio !== undefined && unit !== 'points';
  return {
    sign: canonical < 0 ? '−' : '+',
    size: Math.abs(isRelative ? 100 * ratio : stepIn(canonical, unit)),
    unit: isRelative ? '%' : unit,
  };
}

/** `+17 %`; empty where a relative change says nothing. */
export function ratioText({ ratio }: Pick<Step, 'ratio'>): string {
  if (ratio === undefined) return '';
  return `${ratio < 0 ? '−' : '+'}${formatNumber(Math.abs(ratio) * 100, ratioDigits(ratio))} %`;
}

const ratioDigits = (ratio: number): number => (Math.abs(ratio) < 0.1 ? 2 : 3);
