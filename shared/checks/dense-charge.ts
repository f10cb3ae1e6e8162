import { manifoldPressure } from '../derived/charge-air.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { PointValue } from '../derived/operating-point.ts';
import { apply, type Operand } from '../derived/value.ts';
import { memo } from '../memo.ts';
import * as physics from '../physics/margins.ts';
import type { FurtherTargets } from '../proof/targets.ts';

/** Below this manifold pressure (Pa) the charge is too thin to detonate. */
export const LOWEST_PRESSURE = 80e3;

/** Fuels so much more knock-resistant than gasoline that limits of advance do not apply to them. */
export const ALCOHOLS: ReadonlySet<string> = new Set(['e85', 'ethanol', 'methanol']);

/** The highest advance that is usual, and how it falls with boost and compression. */
export const usualAdvance = {
  highest: {
    kind: 'angle',
    value: '34 deg',
    meaning: 'Highest usual advance at a compression ratio of 9 and 100 kPa abs, on gasoline.',
  },
  boost_step: { kind: 'angle', value: '2 deg', meaning: 'Reduction per 10 kPa above 100 kPa abs.' },
  compression_step: {
    kind: 'angle',
    value: '2 deg',
    meaning: 'Reduction per unit of compression ratio above 9.',
  },
} as const;

export type UsualAdvance = Readonly<Record<keyof typeof usualAdvance, number>>;

/** The advance beyond the highest usual one, at the manifold pressure of the state. */
export const advanceBeyondUsual = {
  id: 'advance_beyond_usual',
  label: 'Ignition advance beyond the highest usual advance for the charge',
} as const;

/** The value for some settings. */
export const advanceBeyond = ({ highest, boost_step, compression_step }: UsualAdvance): PointValue =>
  valueFor(highest, boost_step, compression_step);

const threshold = (canonical: number): Operand => ({ canonical, how: 'threshold' });

/** The same object for the same settings, so that points keep its value. */
const valueFor = memo(
  (highest: number, boostStep: number, compressionStep: number): PointValue => ({
    ...advanceBeyondUsual,
    derive(point) {
      const { engine, fuel } = point.configuration;
      if (ALCOHOLS.has(fuel?.grade?.text ?? '')) return undefined;
      const from = apply(physics.usualAdvance, {
        highest: threshold(highest),
        boostStep: threshold(boostStep),
        pressure: point.get(manifoldPressure),
        compressionStep: threshold(compressionStep),
        compressionRatio: engine?.compression_ratio,
      });
      return apply(physics.advanceDifference, { advance: point.get(ignitionAdvance), from });
    },
  }),
);

/** What is bounded of it: the states whose charge could detonate. */
export const denseTargets = memo(
  (value: PointValue): FurtherTargets => ({
    dense: {
      from: LOWEST_PRESSURE,
      values: (point) => [{ ...advanceBeyondUsual, value: point.get(value) }],
    },
  }),
);
