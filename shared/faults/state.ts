import type { Installation } from '../configuration/installation.ts';
import {
  availableManifoldPressure,
  manifoldPressure,
  targetManifoldPressure,
} from '../derived/charge-air.ts';
import { faultedPoint, type SensorFault, sensorFaults } from '../derived/faults.ts';
import type { Loss, SingleFault } from '../derived/loss.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { pressureServoOpen } from '../derived/servo.ts';
import { type Operand, withReason } from '../derived/value.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { lostQuantities } from './lost.ts';

/** The ways in which the lost sensors fail: that of the fault, or the substitute values of all that have one. */
export function waysOf(installation: Installation, { way, loss }: SingleFault): readonly SensorFault[] {
  if (way || loss.controller) return way ? [way] : [];
  return sensorFaults(installation).filter((one) => one.case === 'substitute' && loss.sensors.has(one.name));
}

/** What the sensor of a fault measures. */
export const measures = ({ sensor }: SensorFault): string | undefined =>
  measuredQuantity(sensor.measures?.text ?? '')?.entry.name;

/** What limits a manifold pressure that no longer follows its target: the overboost cut, or only the compressor. */
export type BoostLimit = 'cut' | 'compressor';

/** The real state of an engine with a fault, and the one for which the controller computes fuel and spark. */
export interface State {
  readonly actual: OperatingPoint;
  readonly assumed: OperatingPoint;
  readonly limitedBy?: BoostLimit | undefined;
}

/** The state of an engine with a fault, whose sensors fail in these ways. */
export function stateUnder(
  installation: Installation,
  fault: SingleFault,
  point: OperatingPoint,
  ways: readonly SensorFault[],
): State {
  let [actual, assumed] = [point, point];
  let limitedBy: BoostLimit | undefined;
  for (const way of ways) {
    if (measures(way) === 'throttle_position') actual = faultedPoint(actual, way).actual;
    assumed = faultedPoint(assumed, way).assumed;
  }
  if (isWastegateLost(installation, fault.loss)) {
    if (opensWastegate(actual, fault)) actual = withOpenWastegate(actual);
    else {
      // The cut acts only while the controller knows the pressure.
      const isBlind = lostQuantities(installation.configuration, fault.loss)('manifold_pressure');
      const cut = isBlind ? undefined : actual.configuration.boost?.overboost_cut;
      ({ point: actual, limitedBy } = withClosedWastegate(actual, cut));
    }
    // The controller measures the pressure that there is, unless that sensor is lost too.
    if (!ways.some((way) => measures(way) === 'manifold_pressure')) assumed = actual;
  } else if (runsAway(assumed, actual, ways))
    ({ point: actual, limitedBy } = withClosedWastegate(actual, undefined));
  return { actual, assumed, limitedBy };
}

/** Whether an output that drives the wastegate is lost, but not the controller with it. */
export function isWastegateLost({ configuration }: Installation, loss: Loss): boolean {
  return (
    configuration.boost !== undefined &&
    !loss.controller &&
    [...loss.outputs].some((name) => configuration.outputs?.[name]?.drives?.text.startsWith('wastegate'))
  );
}

/** Whether the controller reads less than the boost target and so keeps closing the wastegate. */
function runsAway(assumed: OperatingPoint, actual: OperatingPoint, ways: readonly SensorFault[]): boolean {
  if (!actual.configuration.boost || !ways.some((way) => measures(way) === 'manifold_pressure')) return false;
  const [read, target] = [assumed.number(manifoldPressure), actual.number(targetManifoldPressure)];
  return read !== undefined && target !== undefined && read < target;
}

/**
 * Whether the servo opens the wastegate by itself. A shorted wire may hold it, and where the file does not say what it does, it
 * may stay closed.
 */
const opensWastegate = ({ configuration: { boost } }: OperatingPoint, { fault }: SingleFault): boolean =>
  boost?.servo?.on_fault?.text === 'open' && (fault === 'open' || fault === 'lost');

/** The point with an open wastegate: without boost. The same point if its pressure is lower already. */
function withOpenWastegate(point: OperatingPoint): OperatingPoint {
  const open = point.get(pressureServoOpen);
  const pressure = point.number(manifoldPressure);
  if (!open || pressure === undefined || !(open.canonical < pressure)) return point;
  const manifold = withReason(open, 'with the wastegate open');
  return point.inState({ ...point.conditions, manifoldPressure: manifold });
}

/** A point at which boost runs away, and what limits it; `limitedBy` is undefined if its pressure does not rise. */
interface Runaway {
  readonly point: OperatingPoint;
  readonly limitedBy: BoostLimit | undefined;
}

/**
 * The point with a closed wastegate: at the pressure that the compressor can give, or at the cut if that is lower. The same
 * point if its pressure is higher already, or if the file does not say what the compressor can give and there is no cut.
 */
function withClosedWastegate(point: OperatingPoint, cut: Operand | undefined): Runaway {
  const state = (pressure: Operand | undefined) =>
    pressure && point.inState({ ...point.conditions, manifoldPressure: pressure });
  const pressureOf = (one: OperatingPoint | undefined) => one?.number(manifoldPressure) ?? Infinity;
  const available = point.get(availableManifoldPressure);
  const free = state(available && withReason(available, 'the compressor limit, with the wastegate closed'));
  const atCut = state(cut);
  const limitedBy = pressureOf(atCut) < pressureOf(free) ? 'cut' : 'compressor';
  const lowest = limitedBy === 'cut' ? atCut : free;
  if (!lowest) return { point, limitedBy };
  return pressureOf(lowest) > pressureOf(point)
    ? { point: lowest, limitedBy }
    : { point, limitedBy: undefined };
}
