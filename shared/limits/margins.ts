import type { EngineSubject } from '../checks/check.ts';
import { ALCOHOLS, LOWEST_PRESSURE } from '../checks/dense-charge.ts';
import { advanceTooHighForCharge } from '../checks/ignition-detonation.ts';
import { singleFaultBeyondLimit } from '../checks/protection-faults.ts';
import { thresholdsOf } from '../checks/run.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { apply, type Operand, type Result } from '../derived/value.ts';
import { memo } from '../memo.ts';
import * as physics from '../physics/margins.ts';
import type { FurtherTargets } from '../proof/targets.ts';

/** The advance beyond the highest usual one, at the manifold pressure of the state. */
export const advanceBeyondUsual = {
  id: 'advance_beyond_usual',
  label: 'Ignition advance beyond the highest usual advance for the charge',
} as const;

/**
 * The further values to bound because their limits depend on the manifold pressure, with the thresholds of the checks.
 */
export function furtherTargetsOf(subject: EngineSubject): FurtherTargets {
  const { highest, boost_step, compression_step } = thresholdsOf(advanceTooHighForCharge, subject);
  const { load } = thresholdsOf(singleFaultBeyondLimit, subject);
  return targetsWith(load!, highest!, boost_step!, compression_step!);
}

/** The same object for the same thresholds, so that bounds are not searched again. */
const targetsWith = memo(
  (load: number, highest: number, boostStep: number, compressionStep: number): FurtherTargets => {
    const settings = { highest, boost_step: boostStep, compression_step: compressionStep };
    return {
      dense: {
        from: LOWEST_PRESSURE,
        values: (point) => [{ ...advanceBeyondUsual, value: beyondUsual(point, settings) }],
      },
      load,
    };
  },
);

const threshold = (canonical: number): Operand => ({ canonical, how: 'threshold' });

function beyondUsual(point: OperatingPoint, settings: Readonly<Record<string, number>>): Result | undefined {
  const { engine, fuel } = point.configuration;
  if (ALCOHOLS.has(fuel?.grade?.text ?? '')) return undefined;
  const from = apply(physics.usualAdvance, {
    highest: threshold(settings.highest!),
    boostStep: threshold(settings.boost_step!),
    pressure: point.get(manifoldPressure),
    compressionStep: threshold(settings.compression_step!),
    compressionRatio: engine?.compression_ratio,
  });
  return apply(physics.advanceDifference, { advance: point.get(ignitionAdvance), from });
}
