import type { Sensor } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { fitsWatched } from '../derived/protection.ts';
import { pinOf, sensorsOf } from '../derived/sensor-input.ts';
import { reportable } from '../derived/sensor-reading.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { measuredQuantity, type Quantity } from '../quantity/index.ts';
import { type Check, engineCheck } from './check.ts';
import { quote } from './form-words.ts';

interface Span {
  readonly low: number;
  readonly high: number;
  readonly of: Quantity;
}

/** The values that a sensor can report, by its own keys. */
function spanOf({ scaling, minimum, maximum, range }: Sensor): Span | undefined {
  if (range) return { low: range.low.canonical, high: range.high.canonical, of: range.high };
  const points = scaling?.points ?? [];
  const values = points.map(({ to }) => to.canonical);
  const of = points[0]?.to ?? maximum?.quantity ?? minimum?.quantity;
  if (!of) return undefined;
  return {
    low: minimum?.canonical ?? (values.length ? minimumOf(values) : Number.NEGATIVE_INFINITY),
    high: maximum?.canonical ?? (values.length ? maximumOf(values) : Number.POSITIVE_INFINITY),
    of,
  };
}

/** A thermistor reports the temperatures of the voltages inside its fault bounds, or inside the input range. */
function thermistorSpan(
  installation: Installation,
  sensor: Sensor,
  { quantity }: QuantityValue,
): Span | undefined {
  const reach = reportable(installation, sensor);
  return reach && { low: reach.low, high: reach.high, of: quantity };
}

const isAlike = ({ quantity }: QuantityValue, { of }: Span): boolean =>
  quantity.unit?.dimension === of.unit?.dimension && quantity.reference === of.reference;

export const substituteOutsideRange: Check = engineCheck({
  id: 'substitute-outside-range',
  severity: 'warning',
  title: 'Substitute value outside sensor range',
  page: {
    catches:
      'A `substitute` outside the scaling, `range`, `minimum` or `maximum` of its sensor, outside the fault bounds of a thermistor, or with another pressure reference.',
    why: 'The substitute value replaces the reading, and all maps are made for values that the sensor can report. A value outside them is a typing error, or takes the engine outside its maps.',
    example: 'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs }\nsubstitute: 1010 kPa abs',
    remedy: 'Write a value with which the engine can keep running, inside the range of the sensor.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    for (const sensor of Object.values(installation.configuration.sensors ?? {})) {
      const { substitute } = sensor;
      // Another check reports a value of another quantity.
      const kind = measuredQuantity(sensor.measures?.text ?? '')?.entry.kind ?? 'any';
      if (!substitute || !fitsWatched(kind, substitute)) continue;
      const span = spanOf(sensor) ?? thermistorSpan(installation, sensor, substitute);
      if (!span) continue;
      const said = sensor.scaling ?? sensor.range ?? sensor.maximum ?? sensor.minimum ?? sensor.resistance;
      const related = said ? [{ at: said.node, message: 'The range of the sensor.' }] : [];
      if (!isAlike(substitute, span)) {
        const message = `The substitute value \`${substitute.node.text}\` and the sensor have different pressure references.`;
        yield { at: substitute.node, severity: 'error', message, related };
      } else if (substitute.canonical < span.low || substitute.canonical > span.high) {
        const beyond = substitute.canonical < span.low ? 'below' : 'above';
        const message = `The substitute value ${substitute.node.text} is ${beyond} the range of the sensor.`;
        yield { at: substitute.node, message, related };
      }
    }
  },
});

/** A reference voltage and its regulator differ by less than this. Common practice, no source. */
const SAME_REFERENCE = 0.1;

export const ratiometricSupplyHigh: Check = engineCheck({
  id: 'ratiometric-supply-high',
  severity: 'warning',
  title: 'Ratiometric sensor on wrong supply',
  page: {
    catches: 'A ratiometric sensor whose supply is above the range of its input by more than a tenth.',
    why: 'The signal of a ratiometric sensor is a share of its supply, and the input measures shares of its own range. With 12 V at a 5 V sensor every reading is wrong, and the sensor may be destroyed.',
    example:
      'sensors:\n  manifold_pressure: { measures: manifold_pressure, kind: ratiometric, pin: A7, supply: 12 V }   # the input reads 0..5 V',
    remedy:
      'Supply the sensor from the reference voltage of the controller. If it has a regulator of its own, set the kind to `linear`.',
    basis: 'How a ratiometric sensor works. The tolerance is common practice, no source.',
  },
  *find({ installation }) {
    for (const [name, sensor] of sensorsOf(installation.configuration, 'ratiometric')) {
      const range = pinOf(installation, sensor)?.range;
      const { supply } = sensor;
      if (!supply || range?.high.unit?.dimension !== 'voltage') continue;
      if (supply.canonical <= range.high.canonical * (1 + SAME_REFERENCE)) continue;
      yield {
        at: supply.node,
        message: `${quote(name)} is ratiometric with a supply of ${supply.node.text}, but its input reads ${range.node.text}.`,
        related: [{ at: range.node, message: 'The input’s range.' }],
      };
    }
  },
});
