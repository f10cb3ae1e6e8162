import { formula } from './formula.ts';

const position = { unit: '', show: '%', valid: [0, 1] } as const;
const base = { ...position, symbol: 's_b', label: 'base position' } as const;
const authority = { ...position, symbol: 's_a', label: 'authority' } as const;

/** Lowest servo reading (ratio) that the boost loop may command, from base position, authority and end of travel. */
export const lowestServoPosition = formula({
  id: 'lowest-servo-position',
  title: 'Lowest servo position of the boost loop',
  expression: 'max(s_b − s_a, s_min)',
  terms: { base, authority, end: { ...position, symbol: 's_min', label: 'lower end of travel' } },
  result: { ...position, symbol: 's', label: 'servo position' },
  source: 'definition',
});

/** Highest servo reading (ratio) that the boost loop may command. */
export const highestServoPosition = formula({
  id: 'highest-servo-position',
  title: 'Highest servo position of the boost loop',
  expression: 'min(s_b + s_a, s_max)',
  terms: { base, authority, end: { ...position, symbol: 's_max', label: 'upper end of travel' } },
  result: { ...position, symbol: 's', label: 'servo position' },
  source: 'definition',
});
