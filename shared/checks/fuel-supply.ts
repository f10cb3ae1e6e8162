import { differingIn } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import { fuelVolumeFlow, targetLambdaOfMap } from '../derived/fuel.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { fuelFlowWithTrims } from '../derived/trim.ts';
import { placeOfOperand } from '../derived/value.ts';
import { maximumOf } from '../extremes.ts';
import { type Excess, excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check, engineCheck, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity, percent, percentBeside, statedBeside, unitTextOf } from './words.ts';

export const pumpMarginLow: Check = boundCheck({
  id: 'pump-margin',
  severity: 'warning',
  title: 'Fuel pump margin too low',
  page: {
    catches:
      'A pump flow with less than the usual margin over the fuel flow of an operating point or any other state in the envelope, cylinder trims included. It is an error if the pump flow is below the fuel flow itself.',
    why: 'Pumps wear, filters clog, and a low supply voltage slows the motor. A pump without margin lets the rail pressure fall at full power.',
    example: 'fuel:\n  rail: { pump_flow: 45 L/h }   # the engine needs 44 L/h at take-off',
    remedy:
      'Fit a larger pump. If `pump_flow` is not the flow at rail pressure and 13.5 V, write that flow instead.',
    basis: 'Common practice, no source.',
  },
  settings: {
    margin: { kind: 'ratio', value: '15 %', meaning: 'Usual margin of the pump over the fuel flow.' },
  },
  *find(subject, proof, { margin }) {
    const limitOf = ({ fuel }: StateConfiguration) => allowedDemand(fuel?.rail?.pump_flow, margin);
    const question = { side: 'high', limitOf } as const;
    const untrimmed = yield* excessOf(subject, proof, { ...question, value: fuelVolumeFlow });
    const trimmed = yield* excessOf(subject, proof, { ...question, value: fuelFlowWithTrims });
    yield* excessFinding(subject, shorter(untrimmed, trimmed), ({ fuel }, { limit, reached, where }) => {
      const pump = fuel?.rail?.pump_flow;
      if (!pump) return undefined;
      const reserve = (limit * (1 + margin)) / reached - 1;
      const isShort = reserve < 0;
      const judgement = isShort ? 'is below' : `leaves only ${percentBeside(reserve, margin, 2)} over`;
      return {
        ...{ at: pump.node, label: 'fuel flow', name: 'highest_fuel_flow', verb: 'needs' },
        severity: isShort ? 'error' : 'warning',
        message: `Pump flow ${statedBeside(pump, 'L/h')} ${judgement} the engine’s ${formatQuantity(reached, 'L/h')} ${where}; a margin of ${percent(margin)} is usual`,
      };
    });
  },
});

/** The demand that is further beyond what the pump should supply; one that is proved rather than an open one. */
function shorter(one: Excess | undefined, other: Excess | undefined): Excess | undefined {
  if (!one || !other) return one ?? other;
  if (one.verdict !== other.verdict) return one.verdict === 'broken' ? one : other;
  return one.reached / one.limit >= other.reached / other.limit ? one : other;
}

/** The fuel flow (m³/s) over which a pump has exactly the margin. */
const allowedDemand = (pump: QuantityValue | undefined, margin: number): number | undefined =>
  pump && pump.canonical / (1 + margin);

export const faultPressureNotBelowPressure: Check = engineCheck({
  id: 'fault-pressure-not-below-pressure',
  severity: 'error',
  title: 'Fault pressure not below rail pressure',
  page: {
    catches: 'A `fault_pressure` that is not below the rail pressure.',
    why: 'The fault pressure is how far the rail pressure may fall before a limit must act. If it is not below the rail pressure, the file contradicts itself.',
    example: 'fuel:\n  rail: { pressure: 3.0 bar, fault_pressure: 3.2 bar }',
    remedy: 'Write the lowest pressure that the compensation must still cover.',
    basis: 'The meaning of the key.',
  },
  *find({ installation: { engines } }): Generator<Found> {
    for (const { configuration } of differingIn(engines, 'fuel')) {
      const { pressure, fault_pressure: fault } = configuration.fuel?.rail ?? {};
      if (!pressure || !fault || fault.canonical < pressure.canonical) continue;
      yield {
        at: fault.node,
        message: `The fault pressure of ${statedBeside(fault, unitTextOf(pressure))} is not below the rail pressure of ${pressure.node.text}.`,
        related: [{ at: pressure.node, message: 'The rail pressure.' }],
      };
    }
  },
});

export const mixtureRicherThanAuthority: Check = engineCheck({
  id: 'mixture-richer-than-authority',
  severity: 'warning',
  title: 'Mixture beyond closed-loop authority',
  page: {
    catches:
      'An operating point whose stated `lambda` is richer than the target map by more than the closed loops may add.',
    why: 'The engine would run at the mixture of the map plus the authority of the loop, which is leaner than the operating point assumes.',
    example:
      'operating_points:\n  climb: { speed: 5200 rpm, throttle: 90 %, lambda: 0.72 }   # the map gives 0.86, the loop may add 12 %',
    remedy: 'Make the map richer there, or state the lambda that the map gives.',
    basis: 'The meaning of the keys: the authority of a loop is the most by which it may change the fuel.',
  },
  *find({ derivation }) {
    yield* richerEach(derivation.points, undefined);
  },
});

const richerEach = checkEach(function* (point: OperatingPoint): Iterable<Found> {
  const loops = point.configuration.closed_loop;
  const authorities = [loops?.lambda?.authority, loops?.exhaust_gas_temperature?.enrichment_authority];
  const authority = maximumOf(authorities.map((one) => one?.canonical ?? 0));
  const stated = point.conditions.lambda;
  const fromMap = point.get(targetLambdaOfMap);
  if (authority === 0 || !stated || !fromMap) return;
  const wanted = fromMap.canonical / stated.canonical - 1;
  if (!passes(wanted, authority)) return;
  yield {
    at: placeOfOperand(stated) ?? point.node,
    message: `\`${point.name}\` states lambda ${formatNumber(stated.canonical, 3)}, which needs ${percentBeside(wanted, authority, 2)} more fuel than the ${formatNumber(fromMap.canonical, 3)} of the map, but the closed loops may add only ${percent(authority)}.`,
  };
});
