import type { QuantityValue } from '../configuration/values.ts';
import { heldAt } from '../derived/cell.ts';
import { injectorFlow, targetLambdaOfMap } from '../derived/fuel.ts';
import { highestManifoldPressure } from '../derived/full-load.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { placeOfOperand, valueText } from '../derived/value.ts';
import { highestFuelFlow, injectorFlowAtRailPressure, pumpMargin } from '../derived/worst-case.ts';
import { maximumOf } from '../extremes.ts';
import { type GradeName, grades } from '../physics/fuels.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { passes } from './threshold.ts';
import { difference, formatNumber, formatQuantity, percent, percentBeside } from './words.ts';

export const railPressureDiffersFromRated: Check = engineCheck({
  id: 'rail-pressure-differs-from-rated',
  severity: 'information',
  title: 'Injectors run at another pressure than they are rated at',
  page: {
    catches: 'A rail pressure that differs from the pressure at which the injector’s static flow is stated.',
    why: 'Flow goes with the root of the pressure. The tool converts it; a reader who takes the label’s flow for the real one would not.',
    example:
      'fuel:\n  rail: { pressure: 3.5 bar }\n  injectors: { static_flow: 380 cc/min, rated_pressure: 3.0 bar }',
    remedy: 'Nothing, where it is meant. Hover the flow to see what the injector gives at this pressure.',
    basis: 'Orifice equation: volume flow is proportional to the root of the pressure difference.',
  },
  *find({ installation: { configuration }, derivation }) {
    const pressure = configuration.fuel?.rail?.pressure;
    const rated = configuration.fuel?.injectors?.rated_pressure;
    const flow = derivation.one(injectorFlowAtRailPressure);
    if (!pressure || !rated || !flow || Math.abs(pressure.canonical / rated.canonical - 1) < 1e-6) return;
    yield {
      at: pressure.node,
      message: `The rail runs at ${pressure.node.text} and the flow is rated at ${rated.node.text}: an injector gives ${valueText(flow)}.`,
      related: [{ at: rated.node, message: 'The flow is rated at this pressure.' }],
    };
  },
});

export const fixedRegulatorWithBoost: Check = engineCheck({
  id: 'fixed-regulator-with-boost',
  severity: 'warning',
  title: 'Boost takes fuel pressure from the injectors',
  page: {
    catches: 'A fixed fuel-pressure regulator on a boosted engine.',
    why: 'A fixed regulator holds the rail above ambient. As the manifold rises, the pressure across the injector falls, and with it the flow, just where the engine needs most.',
    example: 'fuel:\n  rail: { regulator: fixed, pressure: 3.0 bar gauge }\nboost: { ... }',
    remedy:
      'Use a regulator that follows the manifold, or make sure that the controller corrects the pulse for the pressure across the injector.',
    basis: 'Orifice equation; practice in choosing the regulator: common practice, no source.',
  },
  *find({ installation: { configuration, engines } }) {
    const rail = configuration.fuel?.rail;
    const speed = configuration.engine?.rated_speed ?? configuration.engine?.maximum_speed;
    if (rail?.regulator?.text !== 'fixed' || !rail.pressure || !configuration.boost || !speed) return;
    // A pressure over the manifold contradicts the regulator, and is said to.
    if (rail.pressure.quantity.reference !== 'gauge') return;
    const pressures = engines.map((engine) => highestManifoldPressure(engine, speed.canonical) ?? 0);
    const highest = maximumOf(pressures);
    const engine = engines[pressures.indexOf(highest)]!;
    const boosted = heldAt(engine, rail.pressure.node, speed, { canonical: highest }).get(injectorFlow);
    const atAmbient = heldAt(engine, rail.pressure.node, speed, { canonical: 101325 }).get(injectorFlow);
    if (!boosted || !atAmbient) return;
    yield {
      at: rail.regulator.node,
      message: `At ${formatQuantity(highest, 'kPa abs')} in the manifold an injector gives ${valueText(boosted)}, ${difference(boosted.canonical, atAmbient.canonical)} less than the ${valueText(atAmbient)} at ambient pressure.`,
    };
  },
});

export const pumpMarginLow: Check = engineCheck({
  id: 'pump-margin',
  severity: 'warning',
  title: 'Fuel pump close to its limit',
  page: {
    catches:
      'A pump flow that is less than the highest fuel flow with a margin; an error where it is less than the flow itself.',
    why: 'Pumps wear, filters clog and a low supply slows the motor. A pump without reserve lets the rail pressure sink at full power.',
    example: 'fuel:\n  rail: { pump_flow: 45 L/h }   # the engine burns 44 L/h at take-off',
    remedy:
      'Fit a larger pump, or state the flow that the pump gives at this pressure and 13.5 V if that was not it.',
    basis: 'Common practice, no source.',
  },
  settings: {
    margin: { kind: 'ratio', value: '15 %', meaning: 'Reserve of the pump over the highest fuel flow.' },
  },
  *find({ installation, derivation }, { margin }) {
    const reserve = derivation.one(pumpMargin);
    const demand = derivation.one(highestFuelFlow);
    const pump = installation.configuration.fuel?.rail?.pump_flow;
    if (!reserve || !demand || !pump || !passes(margin, reserve.canonical)) return;
    const short = reserve.canonical < 0;
    const judgement = short
      ? 'that is less than the engine takes'
      : `that leaves ${percentBeside(reserve.canonical, margin, 2)}`;
    yield {
      at: pump.node,
      severity: short ? 'error' : 'warning',
      message: `The pump gives ${pump.node.text} and the engine takes ${valueText(demand)} ${demand.note}: ${judgement}; ${percent(margin)} in reserve is usual.`,
    };
  },
});

/** A property that the file states against that of the grade. */
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
    message: `${words.label} ${written.node.text} is ${difference(written.canonical, usual)} from that of ${grade.text} (${text}).`,
    related: [{ at: grade.node, message: 'The grade is chosen here.' }],
    fixes: [
      {
        title: `Write the value of ${grade.text}: ${text}`,
        safety: 'choice',
        edits: [{ span: written.node, text }],
      },
    ],
  };
}

export const stoichiometricRatioDiffersFromGrade: Check = engineCheck({
  id: 'stoichiometric-ratio-differs-from-grade',
  severity: 'warning',
  title: 'Stoichiometric ratio does not fit the grade',
  page: {
    catches: 'A stoichiometric ratio that is further from the grade’s than fuels of that grade differ.',
    why: 'Every fuel mass is divided by this ratio: a wrong one makes the whole map lean or rich by as much.',
    example: 'fuel:\n  grade: e85\n  stoichiometric_ratio: 14.7',
    remedy: 'Leave the key out to use the grade’s value, or choose the grade that is really in the tank.',
    basis:
      'Computed from the composition of the grade (C, H, O and atomic masses); the tolerance is common practice, no source.',
  },
  settings: { tolerance: { kind: 'ratio', value: '2 %', meaning: 'Spread of real fuels of one grade.' } },
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
  title: 'Density does not fit the grade',
  page: {
    catches: 'A fuel density that is further from the grade’s than fuels of that grade differ.',
    why: 'Injectors meter volume and engines burn mass: the density stands between them in every pulse.',
    example: 'fuel:\n  grade: avgas-100ll\n  density: 0.79 kg/L',
    remedy: 'Leave the key out to use the grade’s value, or give the measured density at 15 °C.',
    basis: 'EN 228 allows 720 to 775 kg/m³ for motor gasoline (from memory): about 4 % to either side.',
  },
  settings: { tolerance: { kind: 'ratio', value: '4 %', meaning: 'Spread of real fuels of one grade.' } },
  find: ({ installation: { configuration } }, { tolerance }) =>
    differsFromGrade(configuration.fuel?.density, configuration.fuel?.grade, 'density', tolerance, {
      label: 'The density',
      unit: 'kg/L',
    }),
});

export const faultPressureNotBelowPressure: Check = engineCheck({
  id: 'fault-pressure-not-below-pressure',
  severity: 'error',
  title: 'Fault pressure is no fault',
  page: {
    catches: 'A `fault_pressure` that is not below the rail pressure.',
    why: 'The fault pressure is how far the rail may sink before help must come; at or above the set pressure the file contradicts itself.',
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
      message: `The fault pressure ${rail.fault_pressure.node.text} is not below the rail pressure ${rail.pressure.node.text}.`,
      related: [{ at: rail.pressure.node, message: 'The rail is set to this.' }],
    };
  },
});

export const mixtureRicherThanAuthority: Check = engineCheck({
  id: 'mixture-richer-than-authority',
  severity: 'warning',
  title: 'The loops cannot make the mixture that a point states',
  page: {
    catches:
      'An operating point whose stated `lambda` is richer than the target map by more than the closed loops may add.',
    why: 'The engine would run at the map’s mixture plus the loop’s authority, leaner than the point counts on.',
    example:
      'operating_points:\n  climb: { speed: 5200 rpm, throttle: 90 %, lambda: 0.72 }   # the map says 0.86, the loop may add 12 %',
    remedy: 'Make the map itself richer there, or state the lambda that the map gives.',
    basis: 'The meaning of the keys: the loop’s authority is the most by which it may change the fuel.',
  },
  *find({ installation: { configuration }, derivation }) {
    const loops = configuration.closed_loop;
    const authorities = [loops?.lambda?.authority, loops?.exhaust_gas_temperature?.enrichment_authority];
    const authority = maximumOf(authorities.map((one) => one?.canonical ?? 0));
    if (authority === 0) return;
    yield* richerEach(derivation.points, authority);
  },
});

const richerEach = judgeEach(function* (point: OperatingPoint, authority: number): Iterable<Found> {
  const stated = point.conditions.lambda;
  const fromMap = point.get(targetLambdaOfMap);
  if (!stated || !fromMap) return;
  const wanted = fromMap.canonical / stated.canonical - 1;
  if (!passes(wanted, authority)) return;
  yield {
    at: placeOfOperand(stated) ?? point.node,
    message: `The map gives lambda ${formatNumber(fromMap.canonical, 3)} here; ${formatNumber(stated.canonical, 3)} takes ${percentBeside(wanted, authority, 2)} more fuel and the loops may add ${percent(authority)}.`,
  };
});
