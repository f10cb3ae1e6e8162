import type { Formula } from '../../shared/physics/formula.ts';

/** The result of a formula according to a source outside this project. */
export interface OutsideValue {
  readonly formula: Formula;
  readonly inputs: Readonly<Record<string, number>>;
  readonly expected: number;
  /** Relative; absolute where zero is expected. */
  readonly tolerance: number;
  /** Begins with `published:`, `computed:` or `from memory:`, then document, edition and table. */
  readonly source: string;
}

/** One row for the tables in `values/`; inputs and result in the formula's canonical units. */
export function outsideValue<Inputs extends string>(
  formula: Formula<Inputs>,
  inputs: Readonly<Record<Inputs, number>>,
  expected: number,
  tolerance: number,
  source: string,
): OutsideValue {
  return { formula: formula as unknown as Formula, inputs, expected, tolerance, source };
}

/** The units in which the documents print, in canonical ones. */
export const kPa = 1e3;
export const bar = 1e5;
export const psi = 6894.757293168;
export const ft = 0.3048;
export const rankine = 1 / 1.8;
export const celsius = (degrees: number): number => degrees + 273.15;
export const mm = 1e-3;
export const cm3 = 1e-6;
export const litre = 1e-3;
export const mg = 1e-6;
export const ms = 1e-3;
export const kW = 1e3;
export const hp = 745.69987158227;
export const hour = 3600;
export const lb = 0.45359237;
export const gal = 3.785411784e-3;
export const ccPerMinute = 1e-6 / 60;
