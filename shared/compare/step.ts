import { formatNumber, formatQuantity, splitUnit } from '../quantity/index.ts';
import type { Step } from './change.ts';

/** How far a number moved, both in the canonical unit; `unit` is how people read the value. */
export function stepBetween(was: number, is: number, unit: string): Step {
  const reading = splitUnit(unit);
  const onScale = reading?.unit.offset !== undefined || unit === 'K';
  const ratio = was === 0 || onScale || !Number.isFinite(is / was) ? undefined : is / was - 1;
  return { canonical: is - was, unit: stepUnit(unit), ratio };
}

/** The unit that a step between two such values is told in. */
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

/** `+17 %`; empty where the step has no ratio that says something. */
export function ratioText({ ratio }: Step): string {
  if (ratio === undefined) return '';
  return `${ratio < 0 ? '−' : '+'}${formatNumber(Math.abs(ratio) * 100, ratioDigits(ratio))} %`;
}

const ratioDigits = (ratio: number): number => (Math.abs(ratio) < 0.1 ? 2 : 3);
