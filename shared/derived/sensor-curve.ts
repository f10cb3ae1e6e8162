import type { Sensor } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { dividerVoltage } from '../physics/divider.ts';
import { rtdResistance } from '../physics/rtd.ts';
import { thermistorResistance } from '../physics/thermistor.ts';
import { referenceVoltage, thermocoupleTemperature } from '../physics/thermocouple.ts';
import { unitsIn } from './sensor-input.ts';
import { dividerOf, inputSpan, type Span, sensorValueAt, temperatureOf } from './sensor-reading.ts';
import { computedType, resistanceAtZero, rtdEnd, thermocoupleEnd } from './temperature-sensors.ts';
import { thermistorOf, span as thermistorSpan } from './thermistors.ts';

/** The reading of a sensor over its electrical input. Canonical units: V or ohm, and those of the quantity. */
export interface SensorCurve {
  readonly input: 'voltage' | 'resistance' | 'thermocouple voltage';
  readonly span: Span;
  /** Undefined outside the curve. */
  readingAt(input: number): number | undefined;
  /** The points stated in the file. */
  readonly points: readonly { readonly input: number; readonly reading: number }[];
  /** Outside these bounds the reading counts as a sensor fault. */
  readonly bounds: Span | undefined;
}

/**
 * The curves of a sensor: over its input voltage and, for a resistive one, over its resistance as well. None for other
 * kinds, and if data for the curve is missing.
 */
export function sensorCurves(installation: Installation, sensor: Sensor): SensorCurve[] {
  const found = [
    overVolts(installation, sensor),
    overOhms(installation, sensor),
    overThermovolts(installation, sensor),
  ];
  return found.filter((curve) => curve !== undefined).filter(isDrawable);
}

/** The unit of a sensor's scaling; °C for a temperature sensor without one. */
export function readingUnit({ scaling, kind }: Sensor): string | undefined {
  const [first] = scaling?.points ?? [];
  if (first) return unitsIn(first.to).show;
  const isThermal = kind?.text === 'thermistor' || kind?.text === 'rtd' || kind?.text === 'thermocouple';
  return isThermal ? '°C' : undefined;
}

/** A curve needs at least two points. */
function isDrawable({ span: [low, high], readingAt }: SensorCurve): boolean {
  const inside = [0.25, 0.5, 0.75].map((share) => low + share * (high - low));
  return high > low && inside.some((input) => readingAt(input) !== undefined);
}

function overVolts(installation: Installation, sensor: Sensor): SensorCurve | undefined {
  const span = inputSpan(installation, sensor);
  if (!span || readingUnit(sensor) === undefined) return undefined;
  const { fault_outside: bounds, scaling } = sensor;
  const stated = (scaling?.points ?? []).map(({ from, to }) => ({
    input: from.canonical,
    reading: to.canonical,
  }));
  const divider = dividerOf(installation, sensor);
  const divided = statedOhms(sensor).flatMap(({ input, reading }) =>
    divider ? [{ input: dividerVoltage({ resistance: input, ...divider }), reading }] : [],
  );
  return {
    input: 'voltage',
    span,
    readingAt: (volts) => sensorValueAt(installation, sensor, volts)?.canonical,
    points: scaling ? stated : divided,
    bounds: bounds && [bounds.low.canonical, bounds.high.canonical],
  };
}

const statedOhms = ({ resistance }: Sensor) =>
  (resistance?.points ?? []).map(({ from, to }) => ({ input: to.canonical, reading: from.canonical }));

function overOhms(installation: Installation, sensor: Sensor): SensorCurve | undefined {
  const [one, other] = sensor.scaling ? [] : ohmsAtEnds(installation, sensor);
  if (one === undefined || other === undefined) return undefined;
  return {
    input: 'resistance',
    span: [Math.min(one, other), Math.max(one, other)],
    readingAt: (ohms) => temperatureOf(installation, sensor, ohms),
    points: statedOhms(sensor),
    bounds: undefined,
  };
}

function ohmsAtEnds(installation: Installation, sensor: Sensor): (number | undefined)[] {
  const atZero = sensor.kind?.text === 'rtd' ? resistanceAtZero(sensor) : undefined;
  if (atZero) {
    return (['minimum', 'maximum'] as const).map((end) =>
      rtdResistance({
        resistanceAtZero: atZero.canonical,
        temperature: rtdEnd(sensor, end).canonical,
      }),
    );
  }
  const thermistor = thermistorOf(installation, sensor);
  if (!thermistor) return [];
  const { low, high } = thermistorSpan(thermistor);
  return [low, high].map(({ canonical }) => thermistorResistance(thermistor.curve, canonical));
}

const ICE_POINT = 273.15;

function overThermovolts(installation: Installation, sensor: Sensor): SensorCurve | undefined {
  const type = sensor.kind?.text === 'thermocouple' ? computedType(sensor) : undefined;
  if (!type || sensor.scaling) return undefined;
  const low = thermocoupleEnd(installation, sensor, 'minimum')?.canonical ?? ICE_POINT;
  const high = thermocoupleEnd(installation, sensor, 'maximum')?.canonical;
  const [first, last] = [low, high].map((at) => at !== undefined && referenceVoltage(type, at));
  if (typeof first !== 'number' || typeof last !== 'number') return undefined;
  return {
    input: 'thermocouple voltage',
    span: [first, last],
    readingAt: (volts) => thermocoupleTemperature(type, volts),
    points: [],
    bounds: undefined,
  };
}
