import type { Derivation } from '../../shared/derived/derivation.ts';
import { faultWords, sensorFaults, sensorFaultValues } from '../../shared/derived/faults.ts';
import type { OperatingPoint } from '../../shared/derived/operating-point.ts';
import { allOfPoint } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { bold, paragraphs, plain } from '../markdown.ts';
import type { PreferredUnits } from '../preferred-units.ts';
import { derivedLine, derivedTable, tableOf, textOf, unbroken } from './derived-words.ts';

/** What a reader asks of an operating point first, in this order. */
export const FIRST = [
  ...['manifold_pressure', 'estimated_power', 'injector_duty', 'injector_duty_at_fault_pressure'],
  ...['fuel_flow_by_volume', 'target_lambda', 'ignition_advance', 'charge_temperature', 'critical_altitude'],
];

/** What leads there. Values that are not named stand last. */
export const BETWEEN: Readonly<Record<string, readonly string[]>> = {
  Air: [
    ...['ambient_pressure', 'ambient_temperature', 'target_manifold_pressure', 'available_manifold_pressure'],
    ...['boost_pressure', 'pressure_ratio', 'compressor_outlet_temperature', 'volumetric_efficiency'],
    'air_mass_per_cycle',
  ],
  Fuel: ['fuel_mass_per_cycle', 'fuel_flow', 'injector_flow', 'injector_pulse_width', 'cycle_time'],
  'Loops at their ends': [
    ...['injector_duty_at_full_enrichment', 'lambda_at_full_enrichment', 'lambda_at_full_leaning'],
    ...['advance_at_maximum_retard', 'lowest_fuel_pressure'],
  ],
};

/**
 * An operating point: what it comes to with the numbers, what leads there in a few lines, and what becomes of it where
 * one sensor fails.
 */
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
    ['Further', [...values.values()]] as const,
  ];
  return paragraphs(
    first.length > 0 ? derivedTable(first, units) : undefined,
    ...groups.map(([title, some]) => (some.length > 0 ? derivedLine(title, some, units) : undefined)),
    faultTable(derivation, point, units),
  );
}

/** A row for each way of a sensor to fail, a column for each value that a fault changes; nothing where it stays. */
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
    `${bold('In a sensor fault')}, where it makes a difference:`,
    tableOf(
      ['Fails', ...columns],
      rows.map(({ fault, cells }) => [
        plain(faultWords(fault)),
        ...columns.map((column) => unbroken(cells.get(column) ?? '')),
      ]),
    ),
  );
}
