import type { DerivedValue } from '../../shared/derived/value.ts';
import { formatQuantity } from '../../shared/quantity/index.ts';
import { NO_PREFERENCE, preferred } from '../preferred-units.ts';

/**
 * The text of a hint; `number` is the value with its unit. Values without a text have no hint. Keep texts short: VS
 * Code cuts the hints of a line after 43 characters.
 */
export type HintText = (number: string) => string;

const bare: HintText = (number) => number;

/** Values of the whole file, each shown at the place that it belongs to. */
export const fileHints: Readonly<Record<string, HintText>> = {
  displacement: (number) => `= ${number}`,
  cylinder_volume: (number) => `= ${number} per cylinder`,
  knock_frequency: (number) => `knock frequency ${number}`,
  injector_flow_at_rail_pressure: (number) => `${number} at rail pressure`,
  critical_altitude_of_highest_target: (number) => `critical altitude ${number}`,
  coil_current: bare,
  coil_energy: bare,
  scaling_at_zero: (number) => `from ${number}`,
  scaling_at_full: (number) => `to ${number}`,
  thermistor_volts_cold: (number) => `${number} cold`,
  thermistor_volts_hot: (number) => `${number} hot`,
  thermistor_resolution_hot: (number) => `${number} per count`,
  rtd_resistance_low: (number) => `= ${number}`,
  rtd_resistance_high: (number) => `= ${number}`,
  thermocouple_volts_at_minimum: (number) => `from ${number}`,
  thermocouple_volts_at_maximum: (number) => `= ${number}`,
  air_fuel_ratio_low: (number) => `air-fuel ratio ${number}`,
  air_fuel_ratio_high: (number) => `to ${number}`,
  knock_window_width: (number) => `= ${number}`,
  knock_window_time: (number) => `${number} at maximum speed`,
  degrees_per_tooth: (number) => `${number} per tooth`,
  edges_per_second: (number) => `${number} at maximum speed`,
  gap_position: (number) => `gap from ${number}`,
  time_to_sync: (number) => `synchronised within ${number}`,
  wire_diameter: (number) => `= ${number}`,
  wire_voltage_drop: (number) => `voltage drop ${number}`,
  wire_protector: (number) => `at most ${number}`,
  current_injectors: (number) => `${number} in total`,
  current_budget: (number) => `loads ${number}`,
  sensor_supply_current: (number) => `sensors take ${number}`,
  bus_termination: (number) => `${number} together`,
  bus_stub_length: (number) => `longest stub at least ${number}`,
  bus_load: (number) => `load ${number}`,
  bus_load_worst_case: (number) => `${number} with maximum bit stuffing`,
  worst_response_time: (number) => `every message sent within ${number}`,
  frame_time: (number) => `${number} on the bus`,
  response_time: (number) => `sent within ${number}`,
  signal_lowest: (number) => `from ${number}`,
  signal_highest: (number) => `to ${number}`,
};

/** The hints shown at low density, beside those of the operating points: values that can stop the engine. */
export const ESSENTIAL: ReadonlySet<string> = new Set([
  'critical_altitude_of_highest_target',
  'current_budget',
]);

/** Values shown after an operating point, in this order. */
export const pointHints: Readonly<Record<string, HintText>> = {
  manifold_pressure: (number) => `= ${number}`,
  injector_duty: (number) => `duty ${number}`,
  estimated_power: bare,
};

/**
 * The number of a hint, to three digits; the tooltip has the exact number. For several values, the lowest and the
 * highest.
 */
export function hintNumber(values: readonly DerivedValue[], units = NO_PREFERENCE): string {
  const numbers = [...values].sort((a, b) => a.canonical - b.canonical);
  const [low, high] = [numbers[0]!, numbers.at(-1)!].map((value) =>
    formatQuantity(value.canonical, preferred(value, units).show, 3),
  );
  return low === high ? high! : `${low!.split(' ')[0]}..${high}`;
}
