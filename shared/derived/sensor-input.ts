import type { EngineConfiguration, Pin, Sensor } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import type { QuantityValue, RangeValue } from '../configuration/values.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo, memoFlatMap } from '../memo.ts';
import { converterStep } from '../physics/sensor-scaling.ts';
import { formatUnit, type Quantity, unitsOf } from '../quantity/index.ts';
import { apply, type MaybeOperand, type Operand, type Result } from './value.ts';

export type SensorKind = NonNullable<Sensor['kind']>['text'];

/** The sensors of some kinds, in the order of the file. */
export function sensorsOf(
  { sensors }: EngineConfiguration,
  ...kinds: readonly SensorKind[]
): readonly (readonly [name: string, sensor: Sensor])[] {
  if (!sensors) return [];
  const [kind, ...others] = kinds;
  if (others.length === 0) return sensorsByKind(sensors).get(kind) ?? [];
  return Object.entries(sensors).filter(([, { kind }]) => kind && kinds.includes(kind.text));
}

/** Cached by section, as only few of a thousand sensors are of one kind. */
const sensorsByKind = memo((sensors: NonNullable<EngineConfiguration['sensors']>) =>
  groupedBy(Object.entries(sensors), ([, { kind }]) => kind?.text),
);

/** The inputs to which a sensor is wired. */
export type Inputs = Pick<Installation, 'controller'>;

/** The sensors and the inputs to which they are wired. */
export interface Wired extends Inputs {
  readonly configuration: Pick<EngineConfiguration, 'sensors'>;
}

/**
 * A result for each sensor of some kinds, from the sensor and its input. Cached by sensor and controller.
 */
export function eachSensor<Made>(
  kinds: readonly SensorKind[],
  make: (sensor: Sensor, inputs: Inputs) => Made | undefined,
): (installation: Installation) => readonly Made[] {
  const each = memoFlatMap((sensor: Sensor, controller: Inputs['controller']): readonly Made[] => {
    const made = make(sensor, { controller });
    return made === undefined ? [] : [made];
  });
  return ({ configuration, controller }) =>
    each(
      sensorsOf(configuration, ...kinds).map(([, sensor]) => sensor),
      controller,
    );
}

/** The controller's pin of the sensor; undefined without a controller file or a pin of that name. */
export function pinOf({ controller }: Inputs, sensor: Sensor): Pin | undefined {
  return sensor.pin && controller?.pins?.[sensor.pin.text];
}

export interface OperandRange {
  readonly low: Operand;
  readonly high: Operand;
}

const ends = ({ low, high, node }: RangeValue): OperandRange => ({
  low: { canonical: low.canonical, node },
  high: { canonical: high.canonical, node },
});

/** The input range in volts: that of the pin or, for a ratiometric sensor, of its supply. */
export function inputRange(inputs: Inputs, sensor: Sensor): OperandRange | undefined {
  const range = pinOf(inputs, sensor)?.range;
  if (range) return range.low.unit?.dimension === 'voltage' ? ends(range) : undefined;
  if (sensor.kind?.text !== 'ratiometric' || !sensor.supply) return undefined;
  const { canonical, node } = sensor.supply;
  return {
    low: { canonical: 0, how: 'ground, as no controller file states the range of the input' },
    high: { canonical, node, how: 'supply, as no controller file states the range of the input' },
  };
}

/** Volts per step of the converter of the sensor's input. */
export function inputStep(inputs: Inputs, sensor: Sensor): Result | undefined {
  const pin = pinOf(inputs, sensor);
  const range = inputRange(inputs, sensor);
  const span = range && {
    canonical: range.high.canonical - range.low.canonical,
    node: range.high.node!,
    how: 'span of the input',
  };
  return apply(converterStep, { span, bits: pin?.resolution });
}

/** The pull-up from supply to signal: the sensor's own or else the controller's. */
export function pullUpOf(inputs: Inputs, sensor: Sensor): MaybeOperand {
  const inside = pinOf(inputs, sensor)?.pull_up;
  return sensor.pull_up ?? (inside && { ...inside, how: `of pin ${sensor.pin!.text}` });
}

/** A value of any quantity, if it is a temperature. */
export function temperatureIn(value: QuantityValue | undefined): Operand | undefined {
  return value?.quantity.unit?.dimension === 'temperature' ? value : undefined;
}

/** The canonical unit of a quantity and the one that it was written in. */
export function unitsIn({ unit, reference }: Quantity): { unit: string; show: string } {
  if (!unit) return { unit: '', show: '' };
  const canonical = unitsOf(unit.dimension).find(({ factor, offset }) => factor === 1 && !offset);
  return { unit: canonical?.symbol ?? '', show: formatUnit(unit, reference) };
}
