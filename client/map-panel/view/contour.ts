import { contours } from 'd3-contour';
import { titleWithUnit } from '../../../shared/tables/scale.ts';
import { resampleColumns, transpose } from '../../../shared/tables/surface.ts';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';
import type { CellPlace } from '../messages.ts';
import { svg } from './element.ts';
import { axesOf, type Frame, frameOf, type Side } from './frame.ts';
import { Labels, widthOfText } from './labels.ts';
import { cursorMark, placedPoints, pointMarks } from './marks.ts';
import { axisTitle, domainOf, type Palette, roundSteps } from './scales.ts';

/** Fine enough for a straight line to look straight. */
const ACROSS = 121;
const UP = 91;

/** The contour of a map: bands between lines of equal value, each line with its number. */
export function contourOf(
  view: TableView & { readonly y: AxisView },
  palette: Palette,
  cursor: CellPlace | null,
  width: number,
  height: number,
  move: (place: CellPlace) => void,
): SVGSVGElement {
  const across: Side = {
    title: axisTitle(view.x),
    domain: domainOf(view.x, [...view.points.map(({ x }) => x), ...view.reach.map(({ x }) => x)]),
    points: view.x.points,
  };
  const reached = view.reach.flatMap(({ low, high }) => [low, high]);
  const heights = [...view.points.map(({ y }) => y), ...reached].filter((y) => y !== null);
  const up: Side = { title: axisTitle(view.y), domain: domainOf(view.y, heights), points: view.y.points };
  const frame = frameOf(width, height, across, up);
  const { area } = frame;
  const labels = new Labels(area);
  const levels = roundSteps(palette.extent, 9);
  const marks = pointMarks(
    placedPoints(view.points, ({ x, y }) => [frame.x(x), frame.y(y ?? Number.NaN)]),
    labels,
  );
  const drawing = svg(
    'svg',
    {
      width,
      height,
      role: 'img',
      'aria-label': titleWithUnit(`Contour of ${view.label.toLowerCase()}`, view.unit),
    },
    svg(
      'defs',
      {},
      svg(
        'clipPath',
        { id: 'inside' },
        svg('rect', { x: area.x, y: area.y, width: area.width, height: area.height }),
      ),
      svg(
        'pattern',
        { id: 'hatch', width: 7, height: 7, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
        svg('line', { class: 'hatching', x1: 0, x2: 0, y1: 0, y2: 7 }),
      ),
    ),
    svg('g', { 'clip-path': 'url(#inside)' }, ...bands(view, palette, frame, levels, labels)),
    svg('g', { 'clip-path': 'url(#inside)' }, ...beyondReach(view, frame)),
    ...nodes(view, frame),
    axesOf(frame, across, up, false),
    marks,
    ...(cursor ? [cursorMark(frame, view.x.points[cursor.column], view.y.points[cursor.row])] : []),
  );
  drawing.addEventListener('click', (event) => {
    const box = drawing.getBoundingClientRect();
    const column = nearest(view.x.points, frame.x.invert(event.clientX - box.left));
    move({ row: nearest(view.y.points, frame.y.invert(event.clientY - box.top)), column });
  });
  return drawing;
}

type Level = { readonly at: number; readonly text: string };

function bands(
  view: TableView & { readonly y: AxisView },
  { extent, colour }: Palette,
  { x, y, area }: Frame,
  levels: readonly Level[],
  labels: Labels,
): SVGElement[] {
  const field = fieldOf(view, steps(x.domain(), ACROSS), steps(y.domain(), UP));
  const lines = contours().size([ACROSS, UP]);
  // The library counts from the corner of the first cell; the numbers of the field belong to the centres of the cells.
  const place = ([i, j]: readonly number[]): [number, number] => [
    area.x + ((i! - 0.5) / (ACROSS - 1)) * area.width,
    area.y + area.height - ((j! - 0.5) / (UP - 1)) * area.height,
  ];
  const floor = svg('rect', {
    ...{ x: area.x, y: area.y, width: area.width, height: area.height },
    class: 'band',
    fill: colour((extent[0] + (levels[0]?.at ?? extent[1])) / 2),
  });
  const made: SVGElement[] = [floor];
  const words: SVGElement[] = [];
  levels.forEach(({ at, text }, i) => {
    const next = levels[i + 1]?.at ?? extent[1];
    const rings = lines
      .contour([...field], at)
      .coordinates.flatMap((polygon) => polygon.map((ring) => ring.map(place)));
    const path = rings
      .map((ring) => `M${ring.map((point) => point.map((n) => n.toFixed(1)).join()).join('L')}Z`)
      .join('');
    if (path === '') return;
    made.push(
      svg('path', {
        class: 'band',
        d: path,
        fill: colour((at + next) / 2),
        'fill-rule': 'evenodd',
      }),
    );
    made.push(svg('path', { class: 'level', d: path }));
    const size = { width: widthOfText(text) + 6, height: 14 };
    const spots = inOrder(rings.flat()).map(([px, py]) => ({ x: px - size.width / 2, y: py - 7, ...size }));
    const spot = labels.take(spots);
    if (spot)
      words.push(
        svg(
          'text',
          { class: 'value', x: spot.x + size.width / 2, y: spot.y + 11, 'text-anchor': 'middle' },
          text,
        ),
      );
  });
  return [...made, ...words];
}

/** The table interpolated on a fine grid, row by row from the lowest y: linear between breakpoints, constant outside. */
function fieldOf(
  { numbers, x, y }: TableView & { readonly y: AxisView },
  across: readonly number[],
  up: readonly number[],
): number[] {
  const wide = resampleColumns(numbers, x.points, across);
  return transpose(resampleColumns(transpose(wide), y.points, up)).flat();
}

function steps([low, high]: readonly number[], count: number): number[] {
  return Array.from({ length: count }, (_, i) => low! + ((high! - low!) * i) / (count - 1));
}

/** The points of a line, from its middle outwards. */
function inOrder(points: readonly [number, number][]): [number, number][] {
  const middle = points.length / 2;
  return points
    .map((point, i) => ({ point, off: Math.abs(i - middle) }))
    .filter((_, i) => i % 3 === 0)
    .sort((a, b) => a.off - b.off)
    .map(({ point }) => point);
}

/** Hatching over the part that no state of the envelope reaches, and the boundary. */
function beyondReach({ reach }: TableView, { x, y, area }: Frame): SVGElement[] {
  if (reach.length === 0) return [];
  const [top, bottom, right] = [area.y, area.y + area.height, area.x + area.width];
  const high = reach.map((at) => [x(at.x), at.high === null ? top : y(at.high)]);
  const low = reach.map((at) => [x(at.x), at.low === null ? bottom : y(at.low)]);
  const region = `M${[...high, ...low.reverse()].map((corner) => corner.join()).join('L')}Z`;
  const all = `M${area.x},${top}H${right}V${bottom}H${area.x}Z`;
  return [
    svg('path', { d: all + region, 'fill-rule': 'evenodd', fill: 'url(#hatch)' }),
    svg('path', { class: 'reach', d: region }),
  ];
}

function nodes({ x, y }: TableView & { readonly y: AxisView }, frame: Frame): SVGElement[] {
  return y.points.flatMap((down) =>
    x.points.map((across) => svg('circle', { class: 'node', cx: frame.x(across), cy: frame.y(down), r: 1 })),
  );
}

export function nearest(points: readonly number[], at: number): number {
  const distances = points.map((point) => Math.abs(point - at));
  return distances.indexOf(Math.min(...distances));
}
