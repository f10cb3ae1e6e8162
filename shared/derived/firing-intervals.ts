import type { EngineConfiguration } from '../../generated/configuration.ts';
import { shortestPairGap, shortestSparkGap } from '../physics/firing-intervals.ts';
import { turnsPerCycle } from './cylinder.ts';
import type { Operand } from './value.ts';

/** The firing intervals of an engine that fires unevenly; undefined without them, or if they do not fit the engine. */
export interface FiringIntervals {
  readonly degrees: readonly number[];
  /** Crank angle of one cycle, in degrees. */
  readonly cycle: number;
  readonly at: Operand;
}

/** Degrees by which the sum of the intervals may differ from the cycle. */
const ROUNDING = 0.5;

export function firingIntervals(configuration: EngineConfiguration): FiringIntervals | undefined {
  const list = configuration.engine?.firing_intervals;
  const cycle = cycleAngle(configuration);
  if (!list || cycle === undefined) return undefined;
  const degrees = list.items.map(({ canonical }) => canonical);
  const fits = degrees.length === configuration.engine?.cylinders?.canonical && addsUp(degrees, cycle);
  return fits ? { degrees, cycle, at: { canonical: Math.min(...degrees), node: list.node } } : undefined;
}

/** Whether intervals are positive and add up to the cycle. */
export const addsUp = (degrees: readonly number[], cycle: number): boolean =>
  degrees.every((one) => one > 0) && Math.abs(degrees.reduce((sum, one) => sum + one, 0) - cycle) <= ROUNDING;

/** Crank angle of one cycle, in degrees. */
export function cycleAngle(configuration: EngineConfiguration): number | undefined {
  const turns = turnsPerCycle(configuration);
  return turns && 360 * turns.canonical;
}

/** The shortest crank angle from one spark of the engine to the next, if it fires unevenly. */
export function unevenSparkInterval(configuration: EngineConfiguration): Operand | undefined {
  const intervals = firingIntervals(configuration);
  if (!intervals) return undefined;
  const wasted = configuration.ignition?.arrangement?.text === 'wasted-spark' && intervals.cycle === 720;
  const gap = shortestSparkGap(intervals.degrees, intervals.cycle, wasted);
  return { ...intervals.at, canonical: gap, how: 'shortest of the firing intervals' };
}

/** The shortest crank angle from one spark of a coil to its next, if that depends on the intervals. */
export function unevenCoilInterval(configuration: EngineConfiguration): Operand | undefined {
  const intervals = firingIntervals(configuration);
  const arrangement = configuration.ignition?.arrangement?.text;
  if (!intervals || !arrangement || arrangement === 'per-cylinder') return undefined;
  const { degrees, cycle, at } = intervals;
  if (arrangement === 'distributor') return { ...at, how: 'shortest of the firing intervals' };
  if (degrees.length % 2 !== 0) return undefined;
  return {
    ...at,
    canonical: shortestPairGap(degrees, cycle),
    how: 'shortest interval of a pair of cylinders',
  };
}
