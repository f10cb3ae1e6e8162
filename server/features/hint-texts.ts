import type { DerivedValue } from '../../shared/derived/value.ts';
import { formatQuantity } from '../../shared/quantity/index.ts';
import { NO_PREFERENCE, preferred } from '../preferred-units.ts';

/**
 * What a hint says about a value; `number` is the value with its unit. Values that are not named get no hint. Be brief:
 * VS Code shows 43 characters of hints a line and cuts off the rest.
 */
export type HintText = (number: string) => string;

const bare: HintText = (number) => number;

/** Values of the file, each shown at the place that it belongs to. */
export const fileHints: Readonly<Record<string, HintText>> = {
  displacement: (number) => `= ${number}`,
  cylinder_volume: (number) => `= ${number} a cylinder`,
  knock_frequency: (number) => `knock rings at ${number}`,
  injector_flow_at_rail_pressure: (number) => `flows ${number}`,
  injector_duty_worst_case: (number) => `worst duty ${number}`,
  injector_duty_worst_case_at_fault_pressure: (number) => `rail fault ${number}`,
  pump_margin: (number) => `${number} above the highest demand`,
  critical_altitude_of_highest_target: (number) => `critical altitude ${number}`,
  coil_current: bare,
  coil_energy: bare,
  scaling_at_zero: (number) => `from ${number}`,
  scaling_at_full: (number) => `to ${number}`,
  thermistor_volts_cold: (number) => `${number} cold`,
  thermistor_volts_hot: (number) => `${number} hot`,
  thermistor_resolution_hot: (number) => `${number} a bit`,
  rtd_resistance_low: (number) => `= ${number}`,
  rtd_resistance_high: (number) => `= ${number}`,
  thermocouple_volts_at_minimum: (number) => `from ${number}`,
  thermocouple_volts_at_maximum: (number) => `= ${number}`,
  air_fuel_ratio_low: (number) => `air to fuel ${number}`,
  air_fuel_ratio_high: (number) => `to ${number}`,
  knock_window_width: (number) => `= ${number}`,
  knock_window_time: (number) => `${number} at maximum speed`,
  degrees_per_tooth: (number) => `${number} a tooth`,
  edges_per_second: (number) => `${number} at maximum speed`,
  gap_position: (number) => `gap from ${number}`,
  time_to_sync: (number) => `in step after ${number}`,
  wire_diameter: (number) => `= ${number}`,
  wire_voltage_drop: (number) => `drops ${number}`,
  wire_protector: (number) => `at most ${number}`,
  current_injectors: (number) => `${number} in all`,
  current_budget: (number) => `loads ${number}`,
  bus_load: (number) => `load ${number}`,
  bus_load_worst_case: (number) => `${number} at worst`,
  worst_response_time: (number) => `every message out within ${number}`,
  frame_time: (number) => `${number} on the bus`,
  response_time: (number) => `out within ${number}`,
  signal_lowest: (number) => `from ${number}`,
  signal_highest: (number) => `to ${number}`,
};

/** What is left where the reader wants few hints: what stops an engine, beside the operating points. */
export const ESSENTIAL: ReadonlySet<string> = new Set([
  'injector_duty_worst_case',
  'injector_duty_worst_case_at_fault_pressure',
  'pump_margin',
  'critical_altitude_of_highest_target',
  'current_budget',
]);

/** Values of an operating point, in this order, shown behind the point. */
export const pointHints: Readonly<Record<string, HintText>> = {
  manifold_pressure: (number) => `= ${number}`,
  injector_duty: (number) => `duty ${number}`,
  estimated_power: bare,
};

/** A hint has room for three digits; the exact number stands in its tooltip. Of many values, the least and the most. */
export function hintNumber(values: readonly DerivedValue[], units = NO_PREFERENCE): string {
  const numbers = [...values].sort((a, b) => a.canonical - b.canonical);
  const [low, high] = [numbers[0]!, numbers.at(-1)!].map((value) =>
    formatQuantity(value.canonical, preferred(value, units).show, 3),
  );
  return low === high ? high! : `${low!.split(' ')[0]}..${high}`;
}
