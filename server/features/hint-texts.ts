import type { DerivedValue } from '../../shared/derived/value.ts';
import { formatQuantity } from '../../shared/quantity/index.ts';

/** What a hint says about a value; `number` is the value with its unit. Values that are not named get no hint. */
type HintText = (number: string) => string;

const bare: HintText = (number) => number;

/** Values of the file, each shown at the place that it belongs to. */
export const fileHints: Readonly<Record<string, HintText>> = {
  displacement: (number) => `= ${number}`,
  cylinder_volume: (number) => `= ${number} a cylinder`,
  knock_frequency: (number) => `knock rings at ${number}`,
  injector_flow_at_rail_pressure: (number) => `= ${number} at rail pressure`,
  injector_duty_worst_case: (number) => `worst duty ${number}`,
  injector_duty_worst_case_at_fault_pressure: (number) => `${number} at fault pressure`,
  pump_margin: (number) => `= ${number} of the highest demand`,
  coil_current: bare,
  coil_energy: bare,
};

/** Values of an operating point, in this order, shown behind the point. */
export const pointHints: Readonly<Record<string, HintText>> = {
  manifold_pressure: (number) => `= ${number}`,
  injector_duty: (number) => `duty ${number}`,
  estimated_power: bare,
  critical_altitude: (number) => `critical altitude ${number}`,
};

/** A hint has room for three digits; the exact number stands in its tooltip. */
export function hintNumber({ canonical, show }: DerivedValue): string {
  return formatQuantity(canonical, show, 3);
}
