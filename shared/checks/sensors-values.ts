import type { Sensor } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { fitsWatched } from '../derived/protection.ts';
import { reportable } from '../derived/sensor-reading.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { measuredQuantity, type Quantity } from '../quantity/index.ts';
import { type Check, engineCheck } from './check.ts';

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
