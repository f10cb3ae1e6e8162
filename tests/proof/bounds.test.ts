import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { diskProject } from '../../server/files.ts';
import { analyse } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import type { Engine } from '../../shared/configuration/installation.ts';
import { availableManifoldPressure, targetManifoldPressure } from '../../shared/derived/charge-air.ts';
import { type FaultedPoint, faultedLambda, faultedPoint, sensorFaults } from '../../shared/derived/faults.ts';
import { injectorDutyAtFaultPressure } from '../../shared/derived/fuel.ts';
import { type Conditions, OperatingPoint } from '../../shared/derived/operating-point.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import type { Bound } from '../../shared/proof/bound.ts';
import { type Envelope, envelopeOf, type Variable } from '../../shared/proof/envelope.ts';
import { Proof, USUAL } from '../../shared/proof/proof.ts';
import { SAMPLES } from '../support/samples.ts';

const engines = [
  'dotterel/dotterel-16t.engine.yaml',
  'wheatear/wheatear-10.engine.yaml',
  'sanderling/sanderling-10t.engine.yaml',
];

const opened = (name: string) => {
  const analysis = analyse(diskProject([SAMPLES + name]), SAMPLES + name)!;
  return analysis.subject as EngineSubject;
};

/** A state as an operating point states it, derived without anything of the proof. */
function pointIn(
  engine: Engine,
  subject: EngineSubject,
  state: Readonly<Record<Variable, number>>,
): OperatingPoint {
  const at = (canonical: number) => ({ canonical });
  const conditions: Conditions = {
    speed: at(state.speed),
    throttle: at(state.throttle),
    pressureAltitude: at(state.pressure_altitude),
    isaDeviation: at(state.isa_deviation),
    manifoldPressure: at(state.manifold_pressure),
    lambda: undefined,
    coolantTemperature: at(state.coolant_temperature),
    batteryVoltage: at(state.battery_voltage),
  };
  return new OperatingPoint('', engine, conditions, subject.derivation.points[0]!.node);
}

/** The highest manifold pressure of a state, computed anew from the format's own rule. */
function ceilingIn(
  engine: Engine,
  subject: EngineSubject,
  envelope: Envelope,
  state: Readonly<Record<Variable, number>>,
): number {
  const stated = pointIn(engine, subject, { ...state, manifold_pressure: 1 }).conditions;
  const free = new OperatingPoint(
    '',
    engine,
    { ...stated, manifoldPressure: undefined },
    subject.derivation.points[0]!.node,
  );
  if (!engine.configuration.boost) {
    const full = new OperatingPoint(
      '',
      engine,
      { ...free.conditions, throttle: { canonical: 1 } },
      free.node,
    );
    return full.number(targetManifoldPressure)!;
  }
  const target = free.number(targetManifoldPressure)! + envelope.overshoot.canonical;
  return Math.min(target, free.number(availableManifoldPressure) ?? Infinity);
}

const share = fc.double({ min: 0, max: 1, noNaN: true });
const NAMES = [
  'speed',
  'throttle',
  'pressure_altitude',
  'isa_deviation',
  'coolant_temperature',
  'battery_voltage',
] as const;

/** Shares of the ranges of an envelope; a third of them at an end, where extremes are. */
const place = fc.array(fc.oneof(share, fc.constantFrom(0, 1), share), { minLength: 7, maxLength: 7 });

describe.each(engines)('%s', (name) => {
  const subject = opened(name);
  const bounds = [...new Proof(subject.derivation, { ...USUAL, mostBoxes: 600 }).bounds()];
  const { derivation, installation } = subject;

  test('every value of a point has bounds, most of them closed', () => {
    expect(bounds.length).toBeGreaterThan(70);
    expect(bounds.filter(({ isClosed }) => isClosed).length).toBeGreaterThan(0.85 * bounds.length);
  });

  test('a bound is beyond what was reached, and what was reached is derived at the witness', () => {
    for (const { id, side, fault, bound, reached, witness, mapSet } of bounds) {
      expect(side === 'high' ? bound >= reached : bound <= reached, `${id} ${side}`).toBe(true);
      const engine = installation.selectable.find((one) => one.mapSet === mapSet)!;
      const definition = pointValues.find((one) => one.id === id);
      if (fault !== undefined || !definition) continue;
      const derived = pointIn(engine, subject, witness).number(definition)!;
      expect(Math.abs(derived - reached), id).toBeLessThanOrEqual(1e-9 * Math.abs(reached));
    }
  });

  test('no state passes a bound', () => {
    for (const engine of installation.selectable) {
      const envelope = envelopeOf(engine, derivation.points)!;
      const own = bounds.filter((one) => one.mapSet === engine.mapSet);
      fc.assert(
        fc.property(place, (shares) => {
          const state = {} as Record<Variable, number>;
          NAMES.forEach((variable, i) => {
            const { low, high } = envelope.ranges[variable];
            state[variable] = low + shares[i]! * (high - low);
          });
          const ceiling = ceilingIn(engine, subject, envelope, state);
          if (ceiling < envelope.lowestPressure) return;
          state.manifold_pressure =
            envelope.lowestPressure + shares[6]! * (ceiling - envelope.lowestPressure);
          const point = pointIn(engine, subject, state);
          for (const one of own) expectWithin(one, point, subject);
        }),
        { numRuns: 400 },
      );
    }
  });
});

function expectWithin(proved: Bound, point: OperatingPoint, subject: EngineSubject): void {
  for (const value of valuesUnder(proved, point, subject)) {
    const slack = 1e-9 * Math.abs(value);
    const isWithin = proved.side === 'high' ? value <= proved.bound + slack : value >= proved.bound - slack;
    expect(isWithin, `${proved.id} ${proved.side} ${proved.fault}: ${value} against ${proved.bound}`).toBe(
      true,
    );
  }
}

/** The value that a bound is of, at a point; under a sensor's fault in each way in which it can fail. */
function valuesUnder({ id, fault }: Bound, point: OperatingPoint, subject: EngineSubject): number[] {
  const number = (of: OperatingPoint) => {
    const definition = pointValues.find((one) => one.id === id);
    return definition ? of.number(definition) : undefined;
  };
  const known = (value: number | undefined) => (value === undefined ? [] : [value]);
  if (fault === undefined) return known(number(point));
  if (fault === 'fault_pressure')
    return id === 'injector_duty' ? known(point.number(injectorDutyAtFaultPressure)) : [];
  const failing = sensorFaults(subject.installation).filter(({ name }) => `sensors.${name}` === fault);
  return failing.flatMap((one) => {
    const faulted: FaultedPoint = faultedPoint(point, one);
    if (id === 'lambda') return known(faultedLambda(faulted)?.canonical);
    return id === 'manifold_pressure' ? [] : known(number(faulted.assumed));
  });
}
