import type { Sensor } from '../../generated/configuration.ts';
import type { Installation } from '../../shared/configuration/installation.ts';
import { engineShape } from '../../shared/configuration/schemas.ts';
import { childShape, shapeAt } from '../../shared/configuration/shape.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { readingUnit, type SensorCurve, sensorCurves } from '../../shared/derived/sensor-curve.ts';
import { reportable } from '../../shared/derived/sensor-reading.ts';
import { measuredQuantity, toUnit } from '../../shared/quantity/index.ts';
import { numberText } from '../formats/report-html/numbers.ts';
import { type PreferredUnits, preferred } from '../preferred-units.ts';
import type { PlaceOf } from './installation-view-places.ts';
import type { CurvePoint, CurveView, SensorView, WrittenView } from './installation-view-types.ts';

/** Each sensor with its keys as written and its readings over its input. */
/** Enough digits to tell neighbouring points of a curve apart. */
const CURVE_DIGITS = 4;

export function sensorViews(
  installation: Installation,
  units: PreferredUnits,
  placeOf: PlaceOf,
): SensorView[] {
  return Object.entries(installation.configuration.sensors ?? {}).map(([name, sensor]) => ({
    name,
    measures: quantityLabel(sensor),
    place: placeOf(nodeOf(sensor)),
    written: writtenOf(sensor, placeOf),
    curves: sensorCurves(installation, sensor).map((curve) => curveView(installation, sensor, curve, units)),
  }));
}

/** `Exhaust gas temperature 2` */
function quantityLabel({ measures, kind }: Sensor): string {
  const found = measures && measuredQuantity(measures.text);
  if (!found) return measures?.text ?? kind?.text ?? '';
  return found.index === undefined ? found.entry.label : `${found.entry.label} ${found.index}`;
}

function writtenOf(sensor: Sensor, placeOf: PlaceOf): WrittenView[] {
  return Object.entries(sensor).flatMap(([key, bound]) => {
    if (!bound) return [];
    const node = nodeOf(bound);
    const label = childShape(sensorShape, key)?.label ?? key;
    const text =
      'node' in bound && bound.node.type === 'scalar'
        ? bound.node.text
        : node.chunk.text.slice(node.start, node.end);
    return [{ label, text: text.replaceAll(/\s+/g, ' '), place: placeOf(node) }];
  });
}

const sensorShape = shapeAt(engineShape, ['sensors', '']);

/** The label and unit of a curve's input. */
const INPUTS = {
  voltage: { label: 'Input voltage', unit: 'V' },
  resistance: { label: 'Sensor resistance', unit: 'ohm' },
  'thermocouple voltage': {
    label: 'Thermocouple voltage, reference junction at 0 °C',
    unit: 'mV',
  },
} as const;

/** Enough segments for a smooth curve; a scaling is straight between its points. */
const STRETCHES = 240;
const ROWS = 10;

function curveView(
  installation: Installation,
  sensor: Sensor,
  curve: SensorCurve,
  units: PreferredUnits,
): CurveView {
  const { label, unit } = INPUTS[curve.input];
  const show = preferred({ canonical: 0, show: readingUnit(sensor) ?? '' }, units).show;
  const inputIn = (canonical: number) => toUnit(canonical, unit);
  const readingIn = (canonical: number) => (show === '' ? canonical : toUnit(canonical, show));
  const place = ({ input, reading }: CurvePoint): CurvePoint => ({
    input: drawn(inputIn(input)),
    reading: drawn(readingIn(reading)),
  });
  const stated = curve.points.map(({ input }) => input);
  const samples = inputsOfDrawing(curve, sensor.scaling ? 1 : STRETCHES).flatMap((input) => {
    const reading = curve.readingAt(input);
    return reading === undefined || !Number.isFinite(reading) ? [] : [place({ input, reading })];
  });
  return {
    input: { label, unit },
    reading: { label: quantityLabel(sensor), unit: show },
    span: [inputIn(curve.span[0]), inputIn(curve.span[1])],
    samples,
    points: curve.points.map(place),
    bounds: curve.bounds ? [inputIn(curve.bounds[0]), inputIn(curve.bounds[1])] : null,
    range: rangeOf(installation, sensor, readingIn),
    table: inputsOfTable(curve).map((input) => {
      const reading = curve.readingAt(input);
      return {
        input: numberText(input, unit, CURVE_DIGITS),
        reading: reading === undefined ? null : numberText(told(reading), show, CURVE_DIGITS),
        isFailed: curve.bounds !== undefined && (input < curve.bounds[0] || input > curve.bounds[1]),
        isStated: stated.includes(input),
      };
    }),
  };
}

/** Removes the rounding error left by solving a curve for its input. */
const told = (number: number): number => Number(number.toPrecision(9));

/** Six digits are finer than any drawing, and shorter to send. */
const drawn = (number: number): number => Number(number.toPrecision(6));

function inputsOfDrawing(curve: SensorCurve, stretches: number): number[] {
  const { span, points, bounds = span } = curve;
  const [low, high] = span;
  const marked = [...points.map(({ input }) => input), ...bounds];
  const all = [...stepsOver(curve, stretches), ...marked.filter((input) => input >= low && input <= high)];
  return [...new Set(all)].sort((a, b) => a - b);
}

/** A row closer than this, relative to a point in the file, would only repeat it. */
const NEAR = 0.005;

/** Steps over the span, and the points in the file. */
function inputsOfTable(curve: SensorCurve): number[] {
  const stated = curve.points.map(({ input }) => input);
  const others = stepsOver(curve, ROWS).filter((at) =>
    stated.every((input) => Math.abs(input - at) > NEAR * Math.abs(at)),
  );
  return [...stated, ...others].sort((a, b) => a - b);
}

/** A span of resistance with a larger ratio than this is divided by equal factors. */
const WIDE = 10;

/** The ends of the equal parts into which a curve is divided. */
function stepsOver({ input, span: [low, high] }: SensorCurve, count: number): number[] {
  const isWide = input === 'resistance' && high / low > WIDE;
  const at = (share: number) => (isWide ? low * (high / low) ** share : low + (high - low) * share);
  return Array.from({ length: count + 1 }, (_, i) => at(i / count));
}

/** The range that the sensor can report, in the unit of its readings. */
function rangeOf(
  installation: Installation,
  sensor: Sensor,
  readingIn: (canonical: number) => number,
): CurveView['range'] {
  const known = reportable(installation, sensor);
  const end = (canonical: number | undefined) =>
    canonical === undefined || !Number.isFinite(canonical) ? null : drawn(readingIn(canonical));
  return { low: end(known?.low), high: end(known?.high) };
}
