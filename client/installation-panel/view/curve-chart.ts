import type { CurvePoint, CurveView } from '../../../server/features/installation-view-types.ts';
import { type Extent, extentOf, withMargin } from '../../../shared/tables/scale.ts';
import { svg } from '../../map-panel/view/element.ts';
import { axesOf, type Frame, frameOf, type Side } from '../../map-panel/view/frame.ts';
import { Labels, widthOfText } from '../../map-panel/view/labels.ts';
import { axisTitle, short, withUnit } from '../../map-panel/view/scales.ts';

/** The readings of a sensor over its input: the curve, its points, its range and its fault bounds. */
export function curveChart(name: string, curve: CurveView, width: number, height: number): SVGSVGElement {
  const good = curve.samples.filter(({ input }) => isGood(curve, input));
  const across: Side = {
    title: axisTitle(curve.input),
    domain: extentOfAny([...curve.span, ...curve.points.map(({ input }) => input), ...(curve.bounds ?? [])]),
    points: curve.points.map(({ input }) => input),
  };
  const readings = [...good, ...curve.points].map(({ reading }) => reading);
  const up: Side = {
    title: withUnit(curve.reading.label, curve.reading.unit && `(${curve.reading.unit})`),
    domain: withMargin(extentOfAny(readings)),
  };
  const frame = frameOf(width, height, across, up);
  const labels = new Labels(frame.area);
  return svg(
    'svg',
    { width, height, role: 'img', 'aria-label': `${name}: ${up.title} over ${across.title}` },
    hatchDefinition(),
    ...failedParts(curve, frame),
    axesOf(frame, across, up, true),
    svg('polyline', { class: 'slice here', points: linePoints(good, frame) }),
    ...rangeLines(curve, frame, labels),
    ...curve.points.map((point) => pointMark(point, isRising(good), frame, labels)),
    ...boundWords(curve, frame, labels),
  );
}

const isGood = ({ bounds }: CurveView, input: number): boolean =>
  !bounds || (input >= bounds[0] && input <= bounds[1]);

/** The extent of some numbers; 0 to 1 if there are none. */
const extentOfAny = (numbers: readonly number[]): Extent =>
  numbers.length === 0 ? [0, 1] : extentOf(numbers);

const linePoints = (points: readonly CurvePoint[], { x, y }: Frame): string =>
  points.map(({ input, reading }) => `${x(input).toFixed(1)},${y(reading).toFixed(1)}`).join(' ');

function hatchDefinition(): SVGElement {
  const line = svg('line', { class: 'fault-line', x1: 0, x2: 0, y1: 0, y2: 7 });
  const pattern = {
    id: 'failed',
    width: 7,
    height: 7,
    patternUnits: 'userSpaceOnUse',
    patternTransform: 'rotate(45)',
  };
  return svg('defs', {}, svg('pattern', pattern, line));
}

/** Hatching outside the fault bounds. */
function failedParts({ bounds }: CurveView, { area, x }: Frame): SVGElement[] {
  if (!bounds) return [];
  const [low, high] = [x(bounds[0]), x(bounds[1])];
  const part = (from: number, to: number) =>
    svg('rect', {
      ...{ x: from, y: area.y, width: Math.max(0, to - from), height: area.height },
      fill: 'url(#failed)',
    });
  const edge = (at: number) =>
    svg('line', { class: 'fault-edge', x1: at, x2: at, y1: area.y, y2: area.y + area.height });
  return [part(area.x, low), part(high, area.x + area.width), edge(low), edge(high)];
}

/** Labels of the hatching, at half height, where a monotonic curve is far from its ends. */
function boundWords({ bounds, input }: CurveView, { area, x }: Frame, labels: Labels): SVGElement[] {
  if (!bounds) return [];
  const [low, high] = bounds;
  const middle = area.y + area.height / 2;
  return [
    { text: withUnit(`fault below ${short(low)}`, input.unit), place: (_: number) => x(low) + 4 },
    {
      text: withUnit(`fault above ${short(high)}`, input.unit),
      place: (width: number) => x(high) - 4 - width,
    },
  ].flatMap(({ text, place }) => {
    const width = widthOfText(text);
    const spot = labels.take(
      [0, 20, -20, 40, -40].map((dy) => ({ x: place(width), y: middle + dy, width, height: 14 })),
    );
    return spot ? [svg('text', { class: 'bound', x: spot.x, y: spot.y + 11 }, text)] : [];
  });
}

/** The lowest and highest reading of the sensor, if they are inside the chart. */
function rangeLines({ range, reading }: CurveView, { area, y }: Frame, labels: Labels): SVGElement[] {
  const lines = [
    { at: range.low, word: 'lowest reading', dy: 4 },
    { at: range.high, word: 'highest reading', dy: -16 },
  ];
  return lines.flatMap(({ at, word, dy }) => {
    if (at === null) return [];
    const level = y(at);
    if (level < area.y || level > area.y + area.height) return [];
    const text = withUnit(`${word} ${short(at)}`, reading.unit);
    const width = widthOfText(text) + 8;
    const middle = area.x + (area.width - width) / 2;
    const spot = labels.take(
      [dy, dy > 0 ? -16 : 4].map((d) => ({ x: middle, y: level + d, width, height: 13 })),
    );
    return [
      svg('line', { class: 'range', x1: area.x, x2: area.x + area.width, y1: level, y2: level }),
      ...(spot ? [svg('text', { class: 'bound', x: spot.x + 4, y: spot.y + 10 }, text)] : []),
    ];
  });
}

const isRising = (points: readonly CurvePoint[]): boolean =>
  (points.at(-1)?.reading ?? 0) > (points[0]?.reading ?? 0);

/** A point given in the file, labelled on the side that the curve leaves free. */
function pointMark(
  { input, reading }: CurvePoint,
  rising: boolean,
  { x, y }: Frame,
  labels: Labels,
): SVGElement {
  const [px, py] = [x(input), y(reading)];
  const text = `${short(input)} → ${short(reading)}`;
  const width = widthOfText(text) + 6;
  const [left, right] = [-7 - width, 7];
  const places = rising
    ? [
        [left, -18],
        [right, 4],
        [left, -7],
      ]
    : [
        [right, -18],
        [left, 4],
        [right, -7],
      ];
  const spot = labels.take(places.map(([dx, dy]) => ({ x: px + dx!, y: py + dy!, width, height: 14 })));
  return svg(
    'g',
    { class: 'points' },
    svg('rect', { class: 'stated', x: px - 4, y: py - 4, width: 8, height: 8 }, svg('title', {}, text)),
    ...(spot ? [svg('text', { x: spot.x + 2, y: spot.y + 11 }, text)] : []),
  );
}
