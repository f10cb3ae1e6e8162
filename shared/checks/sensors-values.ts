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

/** What a sensor can report, by its own keys. */
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

/** A thermistor reports what its curve makes of the volts inside its fault bounds, or of the input's. */
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
  title: 'A substitute that the sensor could never report',
  page: {
    catches:
      'A `substitute` outside the scaling, `range`, `minimum` or `maximum` of its sensor, or of a thermistor outside what its fault bounds let through, or one that is measured from another reference.',
    why: 'The substitute stands in for the sensor, and everything downstream is made for what the sensor can report. A value beyond it is a slip, or runs the engine where no map reaches.',
    example: 'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs }\nsubstitute: 1010 kPa abs',
    remedy: 'Write a value inside the sensor’s range that lets the engine run on safely.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    for (const sensor of Object.values(installation.configuration.sensors ?? {})) {
      const { substitute } = sensor;
      // What is no value of the measured quantity at all is said of the value.
      const kind = measuredQuantity(sensor.measures?.text ?? '')?.entry.kind ?? 'any';
      if (!substitute || !fitsWatched(kind, substitute)) continue;
      const span = spanOf(sensor) ?? thermistorSpan(installation, sensor, substitute);
      if (!span) continue;
      const said = sensor.scaling ?? sensor.range ?? sensor.maximum ?? sensor.minimum ?? sensor.resistance;
      const related = said ? [{ at: said.node, message: 'What the sensor reports.' }] : [];
      if (!isAlike(substitute, span)) {
        const message = `The substitute \`${substitute.node.text}\` is not measured as the sensor is.`;
        yield { at: substitute.node, severity: 'error', message, related };
      } else if (substitute.canonical < span.low || substitute.canonical > span.high) {
        const beyond = substitute.canonical < span.low ? 'below' : 'above';
        const message = `The substitute ${substitute.node.text} is ${beyond} anything that the sensor reports.`;
        yield { at: substitute.node, message, related };
      }
    }
  },
});
