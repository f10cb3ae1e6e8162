import { type MeasuredQuantity, measuredQuantities, measuredQuantity } from '../quantity/index.ts';
import type { Kind } from '../quantity/kinds.ts';

/** A quantity that a column of a run can hold. */
export interface RunQuantity extends Pick<MeasuredQuantity, 'name' | 'label' | 'unit'> {
  readonly kind: Kind | 'name' | 'flag';
}

const of = (name: string, label: string, kind: RunQuantity['kind'], unit = ''): RunQuantity => ({
  name,
  label,
  kind,
  unit,
});

/** What only a run holds, besides what sensors measure. */
const ofRuns: readonly RunQuantity[] = [
  of('time', 'Time', 'time', 's'),
  of('torque', 'Torque', 'torque', 'Nm'),
  of('brake_power', 'Brake power', 'power', 'kW'),
  of('knock_retard', 'Knock retard', 'angle', 'deg'),
  of('lambda_trim', 'Lambda trim', 'ratio', '%'),
  of('map_set', 'Map set', 'name'),
  of('caution_light', 'Caution light', 'flag'),
  of('warning_light', 'Warning light', 'flag'),
];

const byName = new Map(ofRuns.map((quantity) => [quantity.name, quantity]));

/** Every name that a column may have, for completion. */
export const runQuantities: readonly RunQuantity[] = [...ofRuns, ...measuredQuantities];

/** The quantity of a column's name: `torque`, or `exhaust_gas_temperature[2]`. */
export const runQuantity = (name: string): RunQuantity | undefined =>
  byName.get(name) ?? measuredQuantity(name)?.entry;

/** The name without the number of a cylinder. */
export const withoutIndex = (name: string): string => name.replace(/\[\d+\]$/, '');
