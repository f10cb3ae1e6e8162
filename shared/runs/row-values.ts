import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import {
  chargeTemperature,
  manifoldPressure,
  pressureOnAxis,
  targetManifoldPressure,
} from '../derived/charge-air.ts';
import { cycleTime, sweptVolume } from '../derived/cylinder.ts';
import {
  deadTime,
  duty,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorFlow,
  injectorsPerCylinder,
  pulseWidth,
  stoichiometricRatio,
} from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import { type Conditions, OperatingPoint } from '../derived/operating-point.ts';
import { apply, type MaybeOperand, type Operand } from '../derived/value.ts';
import { estimatedPower } from '../physics/cylinder.ts';
import { fuelFlow } from '../physics/injector.ts';
import { fuelMassOfPulse, measuredFilling } from '../physics/measured.ts';
import { trimmedFuelMass } from '../physics/trim.ts';

/** What a row states, in canonical units, in the order of the numbers that `RowModel.evaluate` takes. */
export const ROW_INPUTS = [
  'speed',
  'throttle',
  'manifoldPressure',
  'pressureAltitude',
  'isaDeviation',
  'coolantTemperature',
  'batteryVoltage',
  'chargeTemperature',
  'pulseWidth',
  'lambda',
  'trim',
] as const;

export type RowInput = (typeof ROW_INPUTS)[number];

/** What is derived at the state of a row. */
export const ROW_VALUES = [
  'targetPressure',
  'chargeTemperature',
  'advance',
  'pulseWidth',
  'duty',
  'fuelFlow',
  'power',
  'deliveredFlow',
  'filling',
  'axisPressure',
] as const;

export type RowValue = (typeof ROW_VALUES)[number];

/** What is logged, and thus known without the text. */
export type Logged = Readonly<Record<'chargeTemperature' | 'pulseWidth', boolean>>;

/** The values of a row as derived at an operating point, from operands that stand for its numbers. */
export function resultsOf(
  engine: Engine,
  row: Readonly<Record<RowInput, Operand>>,
  logged: Logged,
): Readonly<Record<RowValue, MaybeOperand>> {
  const { configuration } = engine;
  const { fuel, engine: section } = configuration;
  const free: Conditions = {
    speed: row.speed,
    throttle: row.throttle,
    manifoldPressure: undefined,
    pressureAltitude: row.pressureAltitude,
    isaDeviation: row.isaDeviation,
    lambda: undefined,
    coolantTemperature: row.coolantTemperature,
    batteryVoltage: row.batteryVoltage,
  };
  const held: Conditions = { ...free, manifoldPressure: row.manifoldPressure };
  const unknown = new OperatingPoint('', engine, free, nodeOf(section ?? configuration));
  const derived = unknown.inState(held);
  const point = logged.chargeTemperature
    ? unknown.inState({ ...held, chargeTemperature: row.chargeTemperature })
    : derived;
  const cylinders = section?.cylinders;
  const fuelOf = (fuelMass: MaybeOperand) =>
    apply(fuelFlow, { fuelMass, cylinders, cycleTime: point.get(cycleTime) });
  const fuelOfText = apply(trimmedFuelMass, { fuelMass: point.get(fuelMassPerCycle), trim: row.trim });
  const pulse = pulseWidth(point, point.get(injectorFlow), fuelOfText);
  const flow = fuelOf(fuelOfText);
  const delivered = logged.pulseWidth
    ? apply(fuelMassOfPulse, {
        pulseWidth: row.pulseWidth,
        deadTime: deadTime(point),
        flow: point.get(injectorFlow),
        fuelDensity: fuelDensity(configuration),
        injectorsPerCylinder: injectorsPerCylinder(configuration),
        injections: injections(configuration),
      })
    : fuelOfText;
  return {
    // Without a compressor, the throttle does not determine the pressure.
    targetPressure: configuration.boost ? unknown.get(targetManifoldPressure) : undefined,
    chargeTemperature: derived.get(chargeTemperature),
    advance: point.get(ignitionAdvance),
    pulseWidth: pulse,
    duty: duty(point, pulse),
    fuelFlow: flow,
    power: apply(estimatedPower, { fuelFlow: flow, specificConsumption: section?.specific_consumption }),
    deliveredFlow: fuelOf(delivered),
    filling: apply(measuredFilling, {
      fuelMass: delivered,
      stoichiometricRatio: stoichiometricRatio(configuration),
      lambda: row.lambda,
      chargeTemperature: point.get(chargeTemperature),
      manifoldPressure: point.get(manifoldPressure),
      cylinderVolume: sweptVolume(configuration),
    }),
    axisPressure: pressureOnAxis(point, fuel?.volumetric_efficiency?.y),
  };
}
