import type { Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { codingOf, messagesOf, signalsOf } from '../derived/bus-signals.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import type { Derivation } from '../derived/derivation.ts';
import { fuelPressureIn, isGauge } from '../derived/fuel-pressure.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import {
  isBeyond,
  type Limit,
  limitsOf,
  referenceOf,
  type Threshold,
  thresholdAtPoint,
  thresholdsOf,
} from '../derived/protection.ts';
import { reportable, sensorsMeasuring } from '../derived/sensor-reading.ts';
import { memo } from '../memo.ts';
import type { PressureReference } from '../quantity/kinds.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { extremeStates } from './extreme-states.ts';
import { quote } from './form-words.ts';
import { inUnitOf } from './protection-words.ts';
import { passes } from './threshold.ts';
import { formatQuantity } from './words.ts';

interface Watched {
  readonly engine: Engine;
  readonly limit: Limit;
  /** The operating points of the engine, and its lowest and highest manifold pressure at sea level. */
  readonly states: readonly OperatingPoint[];
}

/** The lower limits on fuel pressure, for each engine; the same states for every check of them. */
const fuelPressureLimits = memo((derivation: Derivation): readonly Watched[] =>
  derivation.installation.selectable.flatMap((engine) =>
    limitsOf(engine.configuration)
      .filter(({ watches, direction }) => watches === 'fuel_pressure' && direction === 'below')
      .map((limit) => ({
        ...{ engine, limit },
        states: [
          ...derivation.points.filter((point) => point.engine.mapSet === engine.mapSet),
          ...extremeStates(derivation, engine, limit.section.watches!.node),
        ],
      })),
  ),
);

const textIn = (reference: PressureReference | undefined, pressure: number): string =>
  formatQuantity(pressure, isGauge(reference) ? 'bar gauge' : 'bar');

/** ` at 34 kPa abs in the manifold`, if the comparison depends on it. */
function atManifold(state: OperatingPoint, isMixed: boolean): string {
  const pressure = state.number(manifoldPressure);
  return isMixed && pressure !== undefined
    ? ` at ${formatQuantity(pressure, 'kPa abs')} in the manifold`
    : '';
}

function withManifold(state: OperatingPoint): string {
  const pressure = state.number(manifoldPressure);
  return pressure === undefined ? '' : ` with ${formatQuantity(pressure, 'kPa abs')} in the manifold,`;
}

/** A stated pressure of the rail in the reference of a threshold. */
const asIn = (state: OperatingPoint, pressure: QuantityValue, threshold: Threshold): number | undefined =>
  fuelPressureIn(state, pressure, pressure.quantity.reference, referenceOf(threshold))?.canonical;

/** The state with the highest manifold pressure, in which the injectors need most fuel. */
const fullLoad = (states: readonly OperatingPoint[]): OperatingPoint | undefined =>
  states.reduce<OperatingPoint | undefined>(
    (most, state) => (pressureAt(state) > (most ? pressureAt(most) : 0) ? state : most),
    undefined,
  );

const pressureAt = (state: OperatingPoint): number => state.number(manifoldPressure) ?? 0;

/** Whether the last threshold of a limit is below the fault pressure, at full load. */
function late({ limit, states, engine }: Watched): Found | undefined {
  const fault = engine.configuration.fuel?.rail?.fault_pressure;
  const last = thresholdsOf(limit).at(-1);
  const state = fullLoad(states);
  if (!fault || !last || !state) return undefined;
  const { threshold, level } = last;
  const isMixed = isGauge(fault.quantity.reference) !== isGauge(referenceOf(threshold));
  const [bound, least] = [thresholdAtPoint(state, threshold), asIn(state, fault, threshold)];
  if (bound === undefined || least === undefined || !passes(least, bound)) return undefined;
  return {
    at: threshold.node,
    message: `The ${level} of ${quote(limit.name)} comes on below ${inUnitOf(threshold, bound)}${atManifold(state, isMixed)}, but the controller compensates only down to the fault pressure of ${fault.node.text}${isMixed ? `, here ${textIn(referenceOf(threshold), least)}` : ''}.`,
    related: [{ at: fault.node, message: 'The fault pressure.' }],
    cause: threshold.node,
  };
}

export const fuelPressureWarningLate: Check = engineCheck({
  id: 'fuel-pressure-warning-late',
  severity: 'warning',
  title: 'Fuel pressure warning below fault pressure',
  page: {
    catches:
      'A limit on low fuel pressure whose warning comes on only below `fault_pressure`. Pressures of different references are compared at the highest manifold pressure.',
    why: 'Below the fault pressure the injectors can no longer deliver the fuel for full power, and the mixture becomes lean. The warning must come before that.',
    example:
      'fuel: { rail: { pressure: 3.0 bar, fault_pressure: 2.4 bar } }\nprotection:\n  fuel_pressure_low: { watches: fuel_pressure, below: { caution: 2.3 bar, warning: 2.0 bar } }',
    remedy: 'Raise the warning above the fault pressure.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    for (const watched of fuelPressureLimits(subject.derivation)) {
      const found = late(watched);
      if (found) yield found;
    }
  },
});

/** Limits and signals of fuel pressure are wrong together when one reference is. */
const REFERENCES = 'references of fuel pressure';

/** A gauge limit that is on although the regulator holds its pressure. */
function early({ limit, states, engine }: Watched): Found | undefined {
  const pressure = engine.configuration.fuel?.rail?.pressure;
  if (!pressure) return undefined;
  for (const { threshold, level } of thresholdsOf(limit)) {
    if (isGauge(pressure.quantity.reference) === isGauge(referenceOf(threshold))) continue;
    for (const state of states) {
      const [bound, held] = [thresholdAtPoint(state, threshold), asIn(state, pressure, threshold)];
      if (bound === undefined || held === undefined || !isBeyond('below', held, bound)) continue;
      return {
        at: threshold.node,
        severity: 'error',
        message: `The ${level} of ${quote(limit.name)}, below ${inUnitOf(threshold, bound)}, comes on while the regulator holds ${pressure.node.text}:${withManifold(state)} the rail is then at only ${textIn(referenceOf(threshold), held)}.`,
        related: [{ at: pressure.node, message: 'The rail pressure.' }],
        cause: REFERENCES,
      };
    }
  }
  return undefined;
}

/** What relates a fuel pressure to ambient while the sensor relates it to the manifold, or the reverse. */
function* otherReference(subject: EngineSubject): Generator<Found> {
  const { installation } = subject;
  const [sensor] = sensorsMeasuring(installation.configuration, 'fuel_pressure');
  const reach = sensor && reportable(installation, sensor[1]);
  if (!reach) return;
  const [name, { scaling, measures }] = sensor;
  const words = (reference: PressureReference | undefined) =>
    isGauge(reference) ? 'relative to ambient (gauge)' : 'relative to the manifold';
  const found = (at: Found['at'], what: string, reference: PressureReference | undefined): Found => ({
    at,
    message: `${what} is ${words(reference)}, but the sensor ${quote(name)} measures ${words(reach.reference)}.`,
    related: [{ at: (scaling ?? measures!).node, message: `The sensor ${quote(name)}.` }],
    cause: REFERENCES,
  });
  for (const { limit } of fuelPressureLimits(subject.derivation)) {
    for (const { threshold, level } of thresholdsOf(limit)) {
      const reference = referenceOf(threshold);
      if (isGauge(reference) === isGauge(reach.reference)) continue;
      yield found(threshold.node, `The ${level} of ${quote(limit.name)}`, reference);
    }
  }
  for (const { message } of messagesOf(installation.configuration)) {
    for (const { name: quantity, signal } of signalsOf(message)) {
      const reference = codingOf(signal)?.reference;
      if (quantity !== 'fuel_pressure' || !signal.scale || isGauge(reference) === isGauge(reach.reference))
        continue;
      yield found((signal.offset ?? signal.range ?? signal.scale).node, 'This signal', reference);
    }
  }
}

export const fuelPressureReference: Check = engineCheck({
  id: 'fuel-pressure-reference',
  severity: 'warning',
  title: 'Fuel pressure references differ',
  page: {
    catches:
      'A limit or bus signal of fuel pressure whose reference is not that of its sensor: gauge, or without a reference, which means relative to the manifold. A limit that is on although the regulator holds its pressure is an error, as when a gauge limit watches a rail that follows the manifold.',
    why: 'A rail 3.0 bar above the manifold has 2.4 bar gauge at idle and 3.5 bar gauge at full boost. A limit in the other reference is either always on at idle or too late under boost.',
    example:
      'sensors:\n  fuel_pressure: { measures: fuel_pressure, kind: ratiometric, scaling: { 0.5 V: 0 bar gauge, 4.5 V: 6 bar gauge } }\nprotection:\n  fuel_pressure_low: { watches: fuel_pressure, below: { warning: 2.4 bar } }   # relative to the manifold',
    remedy:
      'Write limits and signals in the reference of the sensor. On a rail that follows the manifold, measure relative to the manifold.',
    basis:
      'Gauge fuel pressure is fuel pressure relative to the manifold, plus manifold pressure, minus ambient pressure.',
  },
  *find(subject) {
    yield* otherReference(subject);
    for (const watched of fuelPressureLimits(subject.derivation)) {
      const found = early(watched);
      if (found) yield found;
    }
  },
});
