import type { QuantityValue } from '../configuration/values.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import { fuelVolumeFlow, targetLambdaOfMap } from '../derived/fuel.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { fuelFlowWithTrims } from '../derived/trim.ts';
import { placeOfOperand } from '../derived/value.ts';
import { maximumOf } from '../extremes.ts';
import { type GradeName, grades } from '../physics/fuels.ts';
import { boundClause, type Excess, excessOf, openFinding, witnessFixes } from './beyond.ts';
import { boundCheck, type Check, engineCheck, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { passes } from './threshold.ts';
import { difference, formatNumber, formatQuantity, percent, percentBeside } from './words.ts';

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
    const pump = subject.installation.configuration.fuel?.rail?.pump_flow;
    if (!pump) return;
    const limitOf = ({ fuel }: StateConfiguration) => allowedDemand(fuel?.rail?.pump_flow, margin);
    const question = { side: 'high', limitOf } as const;
    const untrimmed = yield* excessOf(subject, proof, { ...question, value: fuelVolumeFlow });
    const trimmed = yield* excessOf(subject, proof, { ...question, value: fuelFlowWithTrims });
    const demand = shorter(untrimmed, trimmed);
    if (!demand) return;
    const fixes = witnessFixes(subject, demand, 'highest_fuel_flow');
    if (demand.verdict === 'open') {
      yield openFinding(pump.node, 'fuel flow', demand, fixes);
      return;
    }
    const reserve = (demand.limit * (1 + margin)) / demand.reached - 1;
    const isShort = reserve < 0;
    const judgement = isShort ? 'is below' : `leaves only ${percentBeside(reserve, margin, 2)} over`;
    yield {
      at: pump.node,
      severity: isShort ? 'error' : 'warning',
      message: `Pump flow ${pump.node.text} ${judgement} the engine’s ${formatQuantity(demand.reached, 'L/h')} ${demand.where}; a margin of ${percent(margin)} is usual${boundClause(demand, 'needs')}.`,
      related: demand.related,
      fixes,
    };
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

/** Compares a fuel property that the file states with that of the grade. */
function* differsFromGrade(
  written: QuantityValue | undefined,
  grade: { text: GradeName; node: QuantityValue['node'] } | undefined,
  property: 'density' | 'stoichiometricRatio',
  tolerance: number,
  words: { label: string; unit: string },
): Generator<Found> {
  if (!written || !grade) return;
  const usual = grades[grade.text][property];
  if (!passes(Math.abs(written.canonical / usual - 1), tolerance)) return;
  const text = formatQuantity(usual, words.unit, 4);
  yield {
    at: written.node,
    message: `${words.label} of ${written.node.text} differs by ${difference(written.canonical, usual)} from the ${text} of \`${grade.text}\`.`,
    related: [{ at: grade.node, message: 'The fuel grade.' }],
    fixes: [
      {
        title: `Change to ${text}, the value of \`${grade.text}\``,
        safety: 'choice',
        edits: [{ span: written.node, text }],
      },
    ],
  };
}

export const stoichiometricRatioDiffersFromGrade: Check = engineCheck({
  id: 'stoichiometric-ratio-differs-from-grade',
  severity: 'warning',
  title: 'Stoichiometric ratio does not match grade',
  page: {
    catches:
      'A stoichiometric ratio that differs from that of the fuel grade by more than real fuels of the grade vary.',
    why: 'Every fuel mass is an air mass divided by this ratio and by lambda. A wrong ratio makes the whole map lean or rich by the same percentage.',
    example: 'fuel:\n  grade: e85\n  stoichiometric_ratio: 14.7',
    remedy: 'Remove the key to use the value of the grade, or set the grade that is really in the tank.',
    basis:
      'Computed from the composition of the grade (C, H, O and atomic masses). The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '2 %', meaning: 'Variation among real fuels of one grade.' },
  },
  find: ({ installation: { configuration } }, { tolerance }) =>
    differsFromGrade(
      configuration.fuel?.stoichiometric_ratio,
      configuration.fuel?.grade,
      'stoichiometricRatio',
      tolerance,
      { label: 'The stoichiometric ratio', unit: '' },
    ),
});

export const densityDiffersFromGrade: Check = engineCheck({
  id: 'density-differs-from-grade',
  severity: 'warning',
  title: 'Density does not match grade',
  page: {
    catches:
      'A fuel density that differs from that of the fuel grade by more than real fuels of the grade vary.',
    why: 'Injectors meter volume but engines burn mass, so every pulse width depends on the density.',
    example: 'fuel:\n  grade: avgas-100ll\n  density: 0.79 kg/L',
    remedy: 'Remove the key to use the value of the grade, or write the measured density at 15 °C.',
    basis:
      'EN 228 allows 720 to 775 kg/m³ for motor gasoline (from memory), about 4 % to either side of the middle.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '4 %', meaning: 'Variation among real fuels of one grade.' },
  },
  find: ({ installation: { configuration } }, { tolerance }) =>
    differsFromGrade(configuration.fuel?.density, configuration.fuel?.grade, 'density', tolerance, {
      label: 'The density',
      unit: 'kg/L',
    }),
});

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
  *find({ installation: { configuration } }) {
    const rail = configuration.fuel?.rail;
    if (!rail?.pressure || !rail.fault_pressure || rail.fault_pressure.canonical < rail.pressure.canonical)
      return;
    yield {
      at: rail.fault_pressure.node,
      message: `The fault pressure of ${rail.fault_pressure.node.text} is not below the rail pressure of ${rail.pressure.node.text}.`,
      related: [{ at: rail.pressure.node, message: 'The rail pressure.' }],
    };
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
  *find({ installation: { configuration }, derivation }) {
    const loops = configuration.closed_loop;
    const authorities = [loops?.lambda?.authority, loops?.exhaust_gas_temperature?.enrichment_authority];
    const authority = maximumOf(authorities.map((one) => one?.canonical ?? 0));
    if (authority === 0) return;
    yield* richerEach(derivation.points, authority);
  },
});

const richerEach = checkEach(function* (point: OperatingPoint, authority: number): Iterable<Found> {
  const stated = point.conditions.lambda;
  const fromMap = point.get(targetLambdaOfMap);
  if (!stated || !fromMap) return;
  const wanted = fromMap.canonical / stated.canonical - 1;
  if (!passes(wanted, authority)) return;
  yield {
    at: placeOfOperand(stated) ?? point.node,
    message: `\`${point.name}\` states lambda ${formatNumber(stated.canonical, 3)}, which needs ${percentBeside(wanted, authority, 2)} more fuel than the ${formatNumber(fromMap.canonical, 3)} of the map, but the closed loops may add only ${percent(authority)}.`,
  };
});
