import type { Sensor } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { rtdResistance } from '../physics/rtd.ts';
import { referenceFunctions, type ThermocoupleType } from '../physics/thermocouple.ts';
import type { Node } from '../source/tree.ts';
import type { FileValue } from './derivation.ts';
import { eachSensor, type Inputs, pinOf, temperatureIn } from './sensor-input.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

type End = 'minimum' | 'maximum';

/** The type of a thermocouple, if its reference function is implemented. */
export function computedType({ type }: Sensor): ThermocoupleType | undefined {
  return type && Object.hasOwn(referenceFunctions, type.text) ? (type.text as ThermocoupleType) : undefined;
}

/** The end of the range that the sensor states, or that of its input. */
export function thermocoupleEnd(inputs: Inputs, sensor: Sensor, end: End): Operand | undefined {
  const range = pinOf(inputs, sensor)?.range;
  const quantity = end === 'minimum' ? range?.low : range?.high;
  const ofInput =
    quantity?.unit?.dimension === 'temperature'
      ? { canonical: quantity.canonical, node: range!.node, how: 'end of the input range' }
      : undefined;
  return temperatureIn(sensor[end]) ?? ofInput;
}

function thermocoupleVolts(id: string, label: string, end: End): FileValue {
  const values = eachSensor(['thermocouple'], (sensor, inputs) => {
    const type = computedType(sensor);
    const temperature = thermocoupleEnd(inputs, sensor, end);
    const result = type && apply(referenceFunctions[type], { temperature });
    return result && derivedValue({ id, label }, result, sensor[end]?.node ?? sensor.type!.node);
  });
  return { id, label, derive: ({ installation }) => values(installation) };
}

export const thermocoupleVoltsAtMinimum = thermocoupleVolts(
  'thermocouple_volts_at_minimum',
  'Thermocouple voltage at the lowest temperature',
  'minimum',
);

export const thermocoupleVoltsAtMaximum = thermocoupleVolts(
  'thermocouple_volts_at_maximum',
  'Thermocouple voltage at the highest temperature',
  'maximum',
);

const ICE_POINT = 273.15;

/** Resistance of a platinum sensor at 0 °C: as stated, or from its point at 0 °C. */
export function resistanceAtZero({ nominal, resistance }: Sensor): Operand | undefined {
  const point = resistance?.points.find(({ from }) => Math.abs(from.canonical - ICE_POINT) < 1e-6);
  return nominal ?? (point && { canonical: point.to.canonical, node: point.value });
}

export function rtdEnd(sensor: Sensor, end: End): Operand {
  const assumed = { minimum: ICE_POINT, maximum: ICE_POINT + 100 }[end];
  return temperatureIn(sensor[end]) ?? { canonical: assumed, how: 'assumed, as the sensor states no range' };
}

function rtdResistanceAt(sensor: Sensor, end: End): Result | undefined {
  return apply(rtdResistance, {
    resistanceAtZero: resistanceAtZero(sensor),
    temperature: rtdEnd(sensor, end),
  });
}

function rtdPlace(sensor: Sensor, end: End): Node {
  return sensor[end]?.node ?? sensor.nominal?.node ?? nodeOf(sensor.resistance!);
}

function perRtd(id: string, label: string, end: End): FileValue {
  const values = eachSensor(['rtd'], (sensor) => {
    const result = rtdResistanceAt(sensor, end);
    return result && derivedValue({ id, label }, result, rtdPlace(sensor, end));
  });
  return { id, label, derive: ({ installation }) => values(installation) };
}

export const rtdResistanceLow = perRtd(
  'rtd_resistance_low',
  'Platinum resistance at the lowest temperature',
  'minimum',
);

export const rtdResistanceHigh = perRtd(
  'rtd_resistance_high',
  'Platinum resistance at the highest temperature',
  'maximum',
);
