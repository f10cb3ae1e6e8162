import * as atmosphere from './atmosphere.ts';
import * as chargeAir from './charge-air.ts';
import * as coil from './coil.ts';
import * as cylinder from './cylinder.ts';
import { electricalFormulas } from './electrical.ts';
import * as faults from './faults.ts';
import * as firing from './firing.ts';
import type { Formula } from './formula.ts';
import * as fuels from './fuels.ts';
import * as injector from './injector.ts';
import * as knock from './knock.ts';
import * as loops from './loops.ts';
import * as margins from './margins.ts';
import * as measured from './measured.ts';
import * as propeller from './propeller.ts';
import * as servo from './servo.ts';
import * as trim from './trim.ts';

export * from './atmosphere.ts';
export * from './charge-air.ts';
export * from './coil.ts';
export * from './cylinder.ts';
export * from './electrical.ts';
export * from './faults.ts';
export * from './firing.ts';
export * from './formula.ts';
export * from './fuels.ts';
export * from './injector.ts';
export * from './knock.ts';
export * from './loops.ts';
export * from './margins.ts';
export * from './measured.ts';
export * from './propeller.ts';
export * from './servo.ts';
export * from './sources.ts';
export * from './trim.ts';

const subjects = [
  atmosphere,
  chargeAir,
  coil,
  cylinder,
  electricalFormulas,
  faults,
  firing,
  fuels,
  injector,
  knock,
  loops,
  margins,
  measured,
  propeller,
  servo,
  trim,
];

function isFormula(exported: unknown): exported is Formula {
  return typeof exported === 'function' && 'expression' in exported;
}

/** Every formula that a subject exports, for tests that must cover all of them. */
export const formulas: readonly Formula[] = subjects.flatMap((subject) =>
  Object.values<unknown>(subject).filter(isFormula),
);
