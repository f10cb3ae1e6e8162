import type { Term } from '../physics/formula.ts';
import { applicationOf, type Result } from './value.ts';

/** A number outside the range in which the formula is meant to hold. */
export interface OutsideRange {
  readonly term: Term & Required<Pick<Term, 'valid'>>;
  readonly canonical: number;
}

/** Tolerance at a limit, relative to it: 1273.15 K − 273.15 K is not exactly 1000 in binary. */
const ROUNDING = 1e-9;

/**
 * The operands of a formula, and its result, that are outside their valid range. Derived operands report their own
 * inputs.
 */
export function outsideValidRange(result: Result): readonly OutsideRange[] {
  const { formula, operands, canonical } = applicationOf(result);
  return [
    ...formula.names.map((name) => ({ term: formula.terms[name]!, canonical: operands[name]!.canonical })),
    { term: formula.result, canonical },
  ].filter(isOutside);
}

function isOutside(number: { readonly term: Term; readonly canonical: number }): number is OutsideRange {
  const { term, canonical } = number;
  if (!term.valid) return false;
  const [low, high] = term.valid;
  return canonical < low - ROUNDING * Math.abs(low) || canonical > high + ROUNDING * Math.abs(high);
}
