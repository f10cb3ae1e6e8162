import type { Derivation } from '../../shared/derived/derivation.ts';
import { faultWords, sensorFaults, sensorFaultValues } from '../../shared/derived/faults.ts';
import type { OperatingPoint } from '../../shared/derived/operating-point.ts';
import { allOfPoint } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { bold, code, lines, paragraphs, plain } from '../markdown.ts';
import type { PreferredUnits } from '../preferred-units.ts';
import { moversOf, moversText } from '../sensitivity-words.ts';
import { derivedLine, derivedTable, tableOf, textOf, unbroken } from './derived-words.ts';

/** The values of an operating point shown first, in this order. */
export const FIRST = [
  ...['manifold_pressure', 'estimated_power', 'injector_duty', 'injector_duty_at_fault_pressure'],
  ...['fuel_flow_by_volume', 'target_lambda', 'ignition_advance', 'charge_temperature', 'critical_altitude'],
];

/** The values that lead to these, by group. Values that are not listed come last. */
export const BETWEEN: Readonly<Record<string, readonly string[]>> = {
  Air: [
    ...['ambient_pressure', 'ambient_temperature', 'target_manifold_pressure', 'available_manifold_pressure'],
    ...['boost_pressure', 'pressure_ratio', 'compressor_outlet_temperature', 'volumetric_efficiency'],
    'air_mass_per_cycle',
  ],
  Fuel: ['fuel_mass_per_cycle', 'fuel_flow', 'injector_flow', 'injector_pulse_width', 'cycle_time'],
  'Cylinder trim': [
    ...['fuel_mass_per_cycle', 'injector_pulse_width', 'injector_duty', 'lambda'].flatMap((id) => [
      `${id}_of_richest_cylinder`,
      `${id}_of_leanest_cylinder`,
    ]),
  ],
  Coil: [
    ...['dwell', 'coil_current_at_battery_voltage', 'coil_energy_at_battery_voltage', 'dwell_share_at_speed'],
  ],
  'Closed loops at full authority': [
    ...['injector_duty_at_full_enrichment', 'lambda_at_full_enrichment', 'lambda_at_full_leaning'],
    ...['advance_at_maximum_retard', 'lowest_fuel_pressure'],
  ],
};

/** An operating point: its main values with their formulas, the others in a few lines, and the effect of sensor faults. */
export function pointPage(derivation: Derivation, point: OperatingPoint, units: PreferredUnits): string {
  const values = new Map(allOfPoint(point).map((value) => [value.id, value]));
  const take = (ids: readonly string[]): DerivedValue[] =>
    ids.flatMap((id) => {
      const value = values.get(id);
      values.delete(id);
      return value ? [value] : [];
    });
  const first = take(FIRST);
  const groups = [
    ...Object.entries(BETWEEN).map(([title, ids]) => [title, take(ids)] as const),
    ['Other values', [...values.values()]] as const,
  ];
  return paragraphs(
    first.length > 0 ? derivedTable(first, units) : undefined,
    ...groups.map(([title, some]) => (some.length > 0 ? derivedLine(title, some, units) : undefined)),
    moverLines(first),
    faultTable(derivation, point, units),
  );
}

/** The values whose largest influences are shown. */
const MOVED = new Set(['estimated_power', 'injector_duty']);

/** The numbers that move the main values most. */
function moverLines(values: readonly DerivedValue[]): string {
  const own = values.filter(({ id }) => MOVED.has(id));
  return lines(
    ...own.map((value) => {
      const text = moversText(moversOf(value), code);
      return text && `${bold(value.label)}: ${lowerFirst(text)}`;
    }),
  );
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** A row for each sensor fault and a column for each value that a fault changes; cells of unchanged values are empty. */
function faultTable(
  derivation: Derivation,
  { node }: OperatingPoint,
  units: PreferredUnits,
): string | undefined {
  const values = sensorFaultValues.ofNode!(derivation, node);
  const rows = sensorFaults(derivation.installation).flatMap((fault) => {
    const ending = ` with ${faultWords(fault)}`;
    const own = values.filter(({ label }) => label.endsWith(ending));
    const cells = new Map(own.map((value) => [value.label.slice(0, -ending.length), textOf(value, units)]));
    return cells.size > 0 ? [{ fault, cells }] : [];
  });
  if (rows.length === 0) return undefined;
  const columns = [...new Set(rows.flatMap(({ cells }) => [...cells.keys()]))];
  return paragraphs(
    `${bold('Sensor faults')} and the values that they change:`,
    tableOf(
      ['Failed sensor', ...columns],
      rows.map(({ fault, cells }) => [
        plain(faultWords(fault)),
        ...columns.map((column) => unbroken(cells.get(column) ?? '')),
      ]),
    ),
  );
}
