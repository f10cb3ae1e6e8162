import * as physics from '../physics/injector.ts';
import type { PressureReference } from '../quantity/kinds.ts';
import { ambientPressure } from './atmosphere.ts';
import { manifoldPressure } from './charge-air.ts';
import type { OperatingPoint } from './operating-point.ts';
import { apply, type MaybeOperand, type Operand } from './value.ts';

/** Whether a fuel pressure is relative to ambient or, without a reference, to the manifold. */
export const isGauge = (reference: PressureReference | undefined): boolean => reference === 'gauge';

/** A fuel pressure (Pa) at an operating point in another reference: from `given` to `wanted`. */
export function fuelPressureIn(
  point: OperatingPoint,
  pressure: Operand,
  given: PressureReference | undefined,
  wanted: PressureReference | undefined,
): MaybeOperand {
  if (isGauge(given) === isGauge(wanted)) return pressure;
  const around = {
    ambientPressure: point.get(ambientPressure),
    manifoldPressure: point.get(manifoldPressure),
  };
  return isGauge(wanted)
    ? apply(physics.referencedRailPressure, { railDrop: pressure, ...around })
    : apply(physics.fixedRailPressure, { railPressure: pressure, ...around });
}
