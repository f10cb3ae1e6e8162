import type { Sensor } from '../../generated/configuration.ts';
import { inUnits } from '../physics/formula.ts';
import * as physics from '../physics/sensor-scaling.ts';
import type { Quantity } from '../quantity/index.ts';
import { differenceUnit } from '../quantity/index.ts';
import type { FileValue } from './derivation.ts';
import { eachSensor, type Inputs, inputRange, inputStep, unitsIn } from './sensor-input.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

/** The points of a sensor's scaling, lowest voltage first; empty if their units or references differ. */
export function scalingPoints({ scaling }: Sensor): readonly physics.ScalingPoint[] {
  const points = scaling?.points ?? [];
  const [first] = points;
  const isAlike = ({ unit, reference }: Quantity) =>
    unit?.dimension === first!.to.unit?.dimension && reference === first!.to.reference;
  if (!points.every(({ to }) => isAlike(to))) return [];
  return points
    .map(({ from, to }) => ({ input: from.canonical, value: to.canonical }))
    .sort((a, b) => a.input - b.input);
}

function valueAt(sensor: Sensor, input: Operand | undefined): Result | undefined {
  const line = input && physics.lineAt(scalingPoints(sensor), input.canonical);
  if (!line) return undefined;
  const units = unitsIn(sensor.scaling!.points[0]!.to);
  const formula = inUnits(physics.linearScaling, { firstValue: units, secondValue: units }, units);
  const { node } = sensor.scaling!;
  return apply(formula, {
    input,
    firstInput: { canonical: line.first.input, node },
    firstValue: { canonical: line.first.value, node },
    secondInput: { canonical: line.second.input, node },
    secondValue: { canonical: line.second.value, node },
  });
}

/** A value of every scaled sensor, placed at its scaling. */
function perScaling(
  id: string,
  label: string,
  compute: (sensor: Sensor, inputs: Inputs) => Result | undefined,
): FileValue {
  const values = eachSensor(['ratiometric', 'linear'], (sensor, inputs) => {
    const result = compute(sensor, inputs);
    return result && derivedValue({ id, label }, result, sensor.scaling!.node);
  });
  return { id, label, derive: ({ installation }) => values(installation) };
}

const faultBound = ({ fault_outside: bounds }: Sensor, end: 'low' | 'high'): Operand | undefined =>
  bounds && { canonical: bounds[end].canonical, node: bounds.node };

export const scalingAtZero = perScaling(
  'scaling_at_zero',
  'Value at 0 % of the input range',
  (sensor, inputs) => valueAt(sensor, inputRange(inputs, sensor)?.low),
);

export const scalingAtFaultLow = perScaling(
  'scaling_at_fault_low',
  'Value at the lower fault bound',
  (sensor) => valueAt(sensor, faultBound(sensor, 'low')),
);

export const scalingAtFaultHigh = perScaling(
  'scaling_at_fault_high',
  'Value at the upper fault bound',
  (sensor) => valueAt(sensor, faultBound(sensor, 'high')),
);

export const scalingAtFull = perScaling(
  'scaling_at_full',
  'Value at 100 % of the input range',
  (sensor, inputs) => valueAt(sensor, inputRange(inputs, sensor)?.high),
);

/** The value of one converter step where the scaling is steepest. */
export const unitsPerBit = perScaling(
  'units_per_bit',
  'Value per count where the scaling is steepest',
  (sensor, inputs) => {
    const line = physics.steepestLine(scalingPoints(sensor));
    if (!line) return undefined;
    const units = unitsIn(sensor.scaling!.points[0]!.to);
    const step = { ...units, show: differenceUnit(units.show) };
    const { node } = sensor.scaling!;
    return apply(inUnits(physics.unitsPerBit, { first: units, second: units }, step), {
      first: { canonical: line.first.value, node },
      second: { canonical: line.second.value, node },
      low: { canonical: line.first.input, node },
      high: { canonical: line.second.input, node },
      step: inputStep(inputs, sensor),
    });
  },
);
