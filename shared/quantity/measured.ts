import type { Kind } from './kinds.ts';

/** A quantity that sensors measure, table axes use, limits watch and the bus carries. */
export interface MeasuredQuantity {
  readonly name: string;
  readonly label: string;
  readonly kind: Kind;
  /** Its usual unit. */
  readonly unit: string;
  /** A wide usual range; an axis entirely outside it probably has the wrong unit. Common practice, no source. */
  readonly usual: string | undefined;
}

const entry = (name: string, label: string, kind: Kind, unit: string, usual?: string): MeasuredQuantity => ({
  name,
  label,
  kind,
  unit,
  usual,
});

export const measuredQuantities: readonly MeasuredQuantity[] = [
  entry('engine_speed', 'Engine speed', 'rotational speed', 'rpm', '200..20000 rpm'),
  entry('propeller_speed', 'Propeller speed', 'rotational speed', 'rpm', '100..10000 rpm'),
  entry('manifold_pressure', 'Manifold pressure', 'pressure', 'kPa abs', '10..500 kPa abs'),
  entry('ambient_pressure', 'Ambient pressure', 'pressure', 'kPa abs', '10..110 kPa abs'),
  entry('throttle_position', 'Throttle position', 'ratio', '%'),
  entry('ambient_temperature', 'Ambient temperature', 'temperature', '°C', '-90..70 °C'),
  entry('intake_air_temperature', 'Intake air temperature', 'temperature', '°C', '-60..250 °C'),
  entry('charge_temperature', 'Charge temperature', 'temperature', '°C', '-60..250 °C'),
  // Of one cylinder, with its number, as for the exhaust gas temperature.
  entry('cylinder_head_temperature', 'Cylinder head temperature', 'temperature', '°C', '-60..350 °C'),
  entry('coolant_temperature', 'Coolant temperature', 'temperature', '°C', '-60..250 °C'),
  entry('oil_temperature', 'Oil temperature', 'temperature', '°C', '-60..250 °C'),
  entry('oil_pressure', 'Oil pressure', 'pressure', 'bar gauge'),
  // Like the rail pressure: relative to the manifold without a reference, else relative to ambient.
  entry('fuel_pressure', 'Fuel pressure', 'rail pressure', 'bar'),
  entry('fuel_temperature', 'Fuel temperature', 'temperature', '°C', '-60..250 °C'),
  entry('lambda', 'Lambda', 'number', ''),
  entry('exhaust_gas_temperature', 'Exhaust gas temperature', 'temperature', '°C', '-60..1400 °C'),
  // Depending on the controller, knock intensity is a voltage, a count or a ratio.
  entry('knock_intensity', 'Knock intensity', 'any', ''),
  entry('battery_voltage', 'Battery voltage', 'voltage', 'V', '4..40 V'),
  entry('wastegate_position', 'Wastegate position', 'ratio', '%'),
  entry('wastegate_position_demand', 'Wastegate position demand', 'ratio', '%'),
  entry('ignition_advance', 'Ignition advance', 'angle', 'deg'),
  entry('injector_pulse_width', 'Injector pulse width', 'time', 'ms'),
  entry('injector_duty', 'Injector duty', 'ratio', '%'),
  entry('fuel_flow', 'Fuel flow', 'fuel flow', 'L/h'),
  entry('pressure_altitude', 'Pressure altitude', 'length', 'ft'),
  entry('crank_position', 'Crank position', 'angle', 'deg'),
  entry('cam_position', 'Cam position', 'angle', 'deg'),
];

const byName = new Map(measuredQuantities.map((measured) => [measured.name, measured]));

/** The quantity of a name; `exhaust_gas_temperature[2]` is the second of several alike (cylinder 2). */
export function measuredQuantity(text: string): Named | undefined {
  if (!asked.has(text)) {
    if (asked.size >= MOST_ASKED) asked.clear();
    asked.set(text, named(text));
  }
  return asked.get(text);
}

interface Named {
  readonly entry: MeasuredQuantity;
  readonly index?: number;
}

/** Cached, as a file names few quantities many times. */
const asked = new Map<string, Named | undefined>();
const MOST_ASKED = 1000;

function named(text: string): Named | undefined {
  const [, name, index] = /^([a-z_]+)(?:\[([1-9]\d?)\])?$/.exec(text) ?? [];
  const found = name === undefined ? undefined : byName.get(name);
  if (!found) return undefined;
  return index === undefined ? { entry: found } : { entry: found, index: Number(index) };
}
