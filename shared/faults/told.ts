import type { BusSignal, Output } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { statesOf, statusSignals } from '../derived/bus-states.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { faultsOf, type SensorFault } from '../derived/faults.ts';
import { limitsWithLight } from '../derived/lights.ts';
import { isFuelPump, outputsThatDrive } from '../derived/loads.ts';
import type { SingleFault } from '../derived/loss.ts';
import {
  inReference,
  isBeyond,
  type Level,
  type Limit,
  referenceOf,
  thresholdAtPoint,
  thresholdsOf,
  writtenValues,
} from '../derived/protection.ts';
import { type SensorValue, sensorsMeasuring } from '../derived/sensor-reading.ts';
import { measuredQuantity } from '../quantity/index.ts';
import type { PointEffects } from './effects.ts';
import type { Lost } from './lost.ts';

type Meaning = NonNullable<Output['meaning']>['text'];

/** Whether the controller notices the fault: fault bounds let it detect a failed sensor. */
export function isNoticed(installation: Installation, { loss, way }: SingleFault): boolean {
  if (way) return way.noticed;
  if (loss.controller || loss.sensors.size === 0) return false;
  const { sensors } = installation.configuration;
  return [...loss.sensors].some((name) => sensors?.[name]?.fault_outside !== undefined);
}

/** The lights that come on with a fault, the status signals that change, and the bus signals that stop. */
export function toldBy(
  installation: Installation,
  { fault, noticed, lost }: { fault: SingleFault; noticed: boolean; lost: Lost },
  at: readonly PointEffects[],
): string[] {
  const { loss } = fault;
  if (loss.controller) return [];
  const { configuration } = installation;
  const meanings = new Set<Meaning>([
    ...(noticed ? (['status'] as const) : []),
    ...levelsReached(installation, fault, at),
  ]);
  const lights = outputsThatDrive(configuration, 'light').flatMap(({ name, output }) => {
    const isLit = output.meaning !== undefined && meanings.has(output.meaning.text);
    return loss.held.has(name) || (isLit && !loss.outputs.has(name)) ? [`outputs.${name}`] : [];
  });
  // A display shows that messages have stopped.
  if (loss.bus) return [...lights, ...lost.signals];
  return [...lights, ...statusesChanged(installation, { fault, noticed, meanings }, at)];
}

/**
 * The status signals that a fault changes. The controller sends which light should be on, even if that light or its wire is
 * what has failed.
 */
function statusesChanged(
  { configuration }: Installation,
  { fault, noticed, meanings }: { fault: SingleFault; noticed: boolean; meanings: ReadonlySet<Meaning> },
  at: readonly PointEffects[],
): string[] {
  const { sensors } = fault.loss;
  const isFound = (name: string) =>
    sensors.has(name) && configuration.sensors?.[name]?.fault_outside !== undefined;
  const isNoticing = noticed && sensors.size > 0;
  return statusSignals(configuration).flatMap(({ path, source, signal }) => {
    const isTold = {
      lights: () => sentLevels(signal, meanings),
      map_set: () => at.some(({ point, actual }) => point.engine.mapSet !== actual.engine.mapSet),
      sensor_faults: () => isNoticing,
      sensor: () => source.kind === 'sensor' && isNoticing && isFound(source.name),
    }[source.kind];
    return isTold() ? [path] : [];
  });
}

/** Whether one of the levels that are reached has a state of its own in the signal. */
const sentLevels = (signal: BusSignal, meanings: ReadonlySet<Meaning>): boolean =>
  statesOf(signal).some(({ word, raw }) => raw !== undefined && meanings.has(word.text as Meaning));

/** The levels whose light comes on because of what the controller reads under the fault. */
function levelsReached(
  installation: Installation,
  fault: SingleFault,
  at: readonly PointEffects[],
): readonly Level[] {
  return limitsWithLight(installation.configuration).flatMap((limit) => {
    const readings = readingsOf(installation, fault, limit.watches);
    const reached =
      readings.length > 0 ? levelsAlwaysReached(limit, readings) : levelsAtPoints(limit, fault, at);
    return isPumpLoss(installation, fault, limit) ? thresholdsOf(limit).map(({ level }) => level) : reached;
  });
}

/** Without its pump the rail loses its pressure. */
function isPumpLoss(
  { configuration }: Installation,
  { loss }: SingleFault,
  { watches, direction }: Limit,
): boolean {
  return (
    measuredQuantity(watches)?.entry.name === 'fuel_pressure' &&
    direction === 'below' &&
    [...loss.outputs].some((name) => isFuelPump(configuration, name))
  );
}

/** What the controller may read of a quantity whose only sensor is lost; empty if the file does not say. */
function readingsOf(
  installation: Installation,
  { way, loss }: SingleFault,
  quantity: string,
): readonly SensorFault[] {
  const [only, ...others] = sensorsMeasuring(installation.configuration, quantity);
  if (!only || others.length > 0 || !loss.sensors.has(only[0])) return [];
  const ways = way ? [way] : faultsOf(only[0], installation);
  // With fault bounds but no substitute the file does not say what the controller does.
  return ways.every((one) => !one.noticed || one.case === 'substitute') ? ways : [];
}

/** The levels that every possible reading reaches, wherever the limit is on its curve. */
function levelsAlwaysReached(limit: Limit, ways: readonly SensorFault[]): Level[] {
  return thresholdsOf(limit).flatMap(({ level, threshold }) => {
    const isReached = ({ reference, canonical }: SensorValue) =>
      writtenValues(threshold).every((written) => {
        const bound = inReference(reference, threshold, written.canonical);
        return bound !== undefined && isBeyond(limit.direction, canonical, bound);
      });
    return ways.every(({ value }) => isReached(value)) ? [level] : [];
  });
}

/** The levels that the manifold pressure reaches at an operating point, if its sensor still works. */
function levelsAtPoints(limit: Limit, { loss }: SingleFault, at: readonly PointEffects[]): Level[] {
  if (measuredQuantity(limit.watches)?.entry.name !== 'manifold_pressure' || loss.sensors.size > 0) return [];
  return thresholdsOf(limit).flatMap(({ level, threshold }) => {
    const isReached = at.some(({ point, actual }) => {
      const [before, now] = [point, actual].map((state) => state.number(manifoldPressure));
      const bound = thresholdAtPoint(actual, threshold);
      if (before === now || now === undefined || bound === undefined) return false;
      return referenceOf(threshold) === 'absolute' && isBeyond(limit.direction, now, bound);
    });
    return isReached ? [level] : [];
  });
}
