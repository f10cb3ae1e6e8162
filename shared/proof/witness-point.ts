import { nodeOf } from '../configuration/values.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import type { Derivation } from '../derived/derivation.ts';
import { faultedLambda, faultedPoint, faultsOf } from '../derived/faults.ts';
import { type Conditions, OperatingPoint } from '../derived/operating-point.ts';
import { pointValues } from '../derived/registry.ts';
import { type DerivedValue, derivedValue, type Result } from '../derived/value.ts';
import type { Bound } from './bound.ts';

/**
 * The value of a bound in its witness, with its formula and inputs. Undefined if the configuration has changed since,
 * if it is a condition and not derived, or if it was reached at the end of a tolerance.
 */
export function valueAtWitness(derivation: Derivation, bound: Bound): DerivedValue | undefined {
  const point = witnessPoint(derivation, bound);
  if (!point) return undefined;
  const results = resultsAt(derivation, point, bound);
  const [nearest] = results.sort(
    (a, b) => Math.abs(a.canonical - bound.reached) - Math.abs(b.canonical - bound.reached),
  );
  const isReached = nearest && Math.abs(nearest.canonical - bound.reached) <= NEAR * Math.abs(bound.reached);
  return isReached ? derivedValue({ id: bound.id, label: bound.label }, nearest, point.node) : undefined;
}

/**
 * Relative difference up to which the derived value counts as the one reached. A larger one means that the value was
 * reached with numbers elsewhere within their tolerances.
 */
const NEAR = 1e-6;

/** The witness as an operating point, without the fault. */
export function witnessPoint(
  { installation }: Derivation,
  { mapSet, witness }: Bound,
): OperatingPoint | undefined {
  const engine = installation.selectable.find((one) => one.mapSet === mapSet);
  const section = engine?.configuration.engine;
  if (!engine || !section) return undefined;
  const conditions: Conditions = {
    speed: { canonical: witness.speed },
    throttle: { canonical: witness.throttle },
    manifoldPressure: { canonical: witness.manifold_pressure },
    pressureAltitude: { canonical: witness.pressure_altitude },
    isaDeviation: { canonical: witness.isa_deviation },
    lambda: undefined,
    coolantTemperature: { canonical: witness.coolant_temperature },
    batteryVoltage: { canonical: witness.battery_voltage },
  };
  return new OperatingPoint('', engine, conditions, nodeOf(section));
}

/** The results that the value may have there: under a fault of a sensor, one for each way in which it can fail. */
function resultsAt({ installation }: Derivation, point: OperatingPoint, { id, fault }: Bound): Result[] {
  if (fault === undefined) return listOf(derivedIn(point, id)?.result);
  if (fault === 'fault_pressure') {
    const rail = point.configuration.fuel?.rail?.fault_pressure;
    const weak = rail && point.inState({ ...point.conditions, railPressure: rail });
    return listOf(weak && derivedIn(weak, id)?.result);
  }
  return faultsOf(fault.replace(/^sensors\./, ''), installation).flatMap((way) => {
    const faulted = faultedPoint(point, way);
    if (id === 'lambda') return listOf(faultedLambda(faulted));
    return listOf(derivedIn(id === manifoldPressure.id ? faulted.actual : faulted.assumed, id)?.result);
  });
}

const derivedIn = (point: OperatingPoint, id: string): DerivedValue | undefined => {
  const definition = pointValues.find((one) => one.id === id);
  return definition && point.get(definition);
};

const listOf = (result: Result | undefined): Result[] => (result ? [result] : []);
