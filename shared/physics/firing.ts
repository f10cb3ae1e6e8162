import { formula } from './formula.ts';
import { cylinders, revolutions, speed } from './terms.ts';

export type Arrangement = 'per-cylinder' | 'wasted-spark' | 'distributor';

/**
 * Sparks that one coil makes in a cycle: for its own cylinder, for both cylinders of a wasted-spark pair (one spark
 * fires in both), or for all cylinders.
 */
export function sparksPerCycle(arrangement: Arrangement, cylinders: number): number {
  switch (arrangement) {
    case 'per-cylinder':
      return 1;
    case 'wasted-spark':
      return 2;
    case 'distributor':
      return cylinders;
  }
}

const time = { unit: 's', show: 'ms', valid: [0, 1] } as const;

const advance = { symbol: 'α', label: 'ignition advance', unit: 'deg', valid: [-30, 60] } as const;

/** Ignition advance (deg before top dead centre): that of the map less the retard for warm charge air. */
export const ignitionAdvance = formula({
  id: 'ignition-advance',
  title: 'Ignition advance',
  expression: 'α_map − α_r',
  terms: {
    fromMap: { ...advance, symbol: 'α_map', label: 'advance from the map' },
    retard: { ...advance, symbol: 'α_r', label: 'charge temperature retard' },
  },
  result: advance,
  source: 'definition',
});

/** Crank angle (deg) from one firing to the next, evenly spaced. */
export const firingAngle = formula({
  id: 'firing-angle',
  title: 'Firing interval, crank angle',
  expression: '360 · r / z',
  terms: { revolutions, cylinders },
  result: { symbol: 'α_f', label: 'firing interval', unit: 'deg' },
  source: 'crank',
});

/**
 * Crank angle (deg after top dead centre) of the next cylinder's spark, from its advance (deg before its own top dead
 * centre). Even firing.
 */
export const nextSparkAngle = formula({
  id: 'next-spark-angle',
  title: 'Next spark after top dead centre',
  expression: 'α_f − α',
  terms: {
    interval: { symbol: 'α_f', label: 'firing interval', unit: 'deg', valid: [25, 720] },
    advance,
  },
  result: { symbol: 'α_n', label: 'next spark after top dead centre', unit: 'deg' },
  source: 'crank',
});

/** Time (s) from one firing of the engine to the next, evenly spaced. */
export const firingInterval = formula({
  id: 'firing-interval',
  title: 'Firing interval, time',
  expression: 'r · 60 / (z · n)',
  terms: { revolutions, cylinders, speed },
  result: { symbol: 't_f', label: 'firing interval', unit: 's', show: 'ms' },
  source: 'crank',
});

/** Time (s) from one spark of a coil to its next; `sparksPerCycle` counts them. */
export const coilInterval = formula({
  id: 'coil-interval',
  title: 'Time between sparks of a coil',
  expression: 'r · 60 / (k · n)',
  terms: {
    revolutions,
    sparks: { symbol: 'k', label: 'sparks per coil and cycle', unit: '', valid: [1, 28] },
    speed,
  },
  result: { symbol: 't_s', label: 'time between sparks', unit: 's', show: 'ms' },
  source: 'crank',
});

/** Share of the time between sparks (s) in which a coil charges; at 1 no time is left for the spark to burn. */
export const dwellShare = formula({
  id: 'dwell-share',
  title: 'Dwell as a share of the time between sparks',
  expression: 't_w / t_s',
  terms: {
    dwell: { ...time, symbol: 't_w', label: 'dwell' },
    interval: { ...time, symbol: 't_s', label: 'time between sparks', valid: [1e-4, 3] },
  },
  result: { symbol: 'd', label: 'dwell share', unit: '', show: '%' },
  source: 'definition',
});

/** Angle (deg) through which the crank turns in a time (s). */
export const sweptAngle = formula({
  id: 'swept-angle',
  title: 'Crank angle turned',
  expression: '6 · n · t',
  terms: { speed, time: { ...time, symbol: 't', label: 'time' } },
  result: { symbol: 'α', label: 'crank angle', unit: 'deg' },
  source: 'crank',
});

/** Energy (J) of one spark: that of the charge, divided among the sparks of one discharge. */
export const sparkEnergyOf = formula({
  id: 'spark-energy',
  title: 'Energy of a spark',
  expression: 'E_c / k',
  terms: {
    charge: { symbol: 'E_c', label: 'charge energy', unit: 'J', show: 'mJ', valid: [0, 2] },
    sparks: { symbol: 'k', label: 'sparks of one discharge', unit: '', valid: [1, 8] },
  },
  result: { symbol: 'E_s', label: 'spark energy', unit: 'J', show: 'mJ' },
  source: 'definition',
});

/** Advance (deg) at which the spark really comes, from that of the controller and the delay as crank angle (deg). */
export const deliveredAdvance = formula({
  id: 'delivered-advance',
  title: 'Delivered ignition advance',
  expression: 'α − α_d',
  terms: { advance, delay: { symbol: 'α_d', label: 'trigger delay', unit: 'deg', valid: [0, 90] } },
  result: { ...advance, symbol: 'α_s', label: 'delivered advance' },
  source: 'definition',
});

/** Time (s) in which the crank turns through an angle (deg), the inverse of `sweptAngle`. */
export const timeOfAngle = formula({
  id: 'time-of-angle',
  title: 'Time for a crank angle',
  expression: 'α / (6 · n)',
  terms: { angle: { symbol: 'α', label: 'crank angle', unit: 'deg', valid: [1, 720] }, speed },
  result: { ...time, symbol: 't_s', label: 'time between sparks' },
  source: 'crank',
});
