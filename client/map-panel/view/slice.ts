import { extentOf, withMargin } from '../../../shared/tables/scale.ts';
import type { AxisView, TableView } from '../../../shared/tables/view.ts';
import type { CellPlace } from '../messages.ts';
import { svg } from './element.ts';
import { axesOf, type Frame, frameOf, type Side } from './frame.ts';
import { Labels, widthOfText } from './labels.ts';
import { placedPoints, pointMarks } from './marks.ts';
import { axisTitle, domainOf, withUnit } from './scales.ts';

/** One line of a table: its numbers along an axis, and its name. */
interface Line {
  readonly numbers: readonly number[];
  readonly name: string;
}

/** A slice of the table along one axis at the cursor, with the neighbouring lines faint. A curve has one line. */
export function sliceOf(
  view: TableView,
  along: 'x' | 'y',
  cursor: CellPlace,
  width: number,
  height: number,
  move: (place: CellPlace) => void,
): SVGSVGElement {
  const axis = along === 'x' ? view.x : view.y!;
  const other = along === 'x' ? view.y : view.x;
  const here = along === 'x' ? cursor.row : cursor.column;
  const at = along === 'x' ? cursor.column : cursor.row;
  const lines = linesOf(view, along, other);
  const ownPoints = view.y ? [] : view.points.map(({ x }) => x);
  const across: Side = { title: axisTitle(axis), domain: domainOf(axis, ownPoints), points: axis.points };
  const up: Side = {
    title: withUnit(view.label, view.unit && `(${view.unit})`),
    domain: withMargin(extentOf(view.numbers.flat())),
  };
  const frame = frameOf(width, height, across, up);
  const labels = new Labels(frame.area);
  const shown = [here - 1, here + 1, here].filter((i) => lines[i] !== undefined);
  const drawing = svg(
    'svg',
    { width, height, role: 'img', 'aria-label': `${view.label} over ${axis.label.toLowerCase()}` },
    axesOf(frame, across, up, true),
    ...shown.map((i) => lineOf(frame, axis, lines[i]!, i === here)),
    ...endName(frame, axis, lines[here], labels),
    // The contour of a map shows them; a curve has only this chart.
    ...(view.y
      ? []
      : [
          pointMarks(
            placedPoints(view.points, ({ x, value }) => [frame.x(x), frame.y(value)]),
            labels,
          ),
        ]),
    markOf(frame, axis.points[at], lines[here]?.numbers[at]),
  );
  drawing.addEventListener('click', (event) => {
    const px = event.clientX - drawing.getBoundingClientRect().left;
    const distances = axis.points.map((point) => Math.abs(frame.x(point) - px));
    const index = distances.indexOf(Math.min(...distances));
    move(along === 'x' ? { ...cursor, column: index } : { ...cursor, row: index });
  });
  return drawing;
}

function linesOf({ numbers }: TableView, along: 'x' | 'y', other: AxisView | null): Line[] {
  const rows =
    along === 'x' ? numbers : (numbers[0] ?? []).map((_, column) => numbers.map((row) => row[column]!));
  return rows.map((row, i) => ({
    numbers: row,
    name: other ? withUnit(other.texts[i] ?? '', other.unit) : '',
  }));
}

function lineOf({ x, y }: Frame, axis: AxisView, { numbers }: Line, isHere: boolean): SVGElement {
  const points = numbers.map((number, i) => [x(axis.points[i]!), y(number)] as const);
  const line = svg('polyline', {
    class: isHere ? 'slice here' : 'slice',
    points: points.map((point) => point.join()).join(' '),
  });
  if (!isHere) return line;
  return svg('g', {}, line, ...points.map(([cx, cy]) => svg('circle', { class: 'knot', cx, cy, r: 2 })));
}

/** The name of the line at the cursor, at its end. The faint ones are its neighbours; their names would stand too close. */
function endName(
  { x, y, area }: Frame,
  axis: AxisView,
  line: Line | undefined,
  labels: Labels,
): SVGElement[] {
  if (!line || line.name === '') return [];
  const { name, numbers } = line;
  // Bold is wider.
  const width = widthOfText(name, 12) + 4;
  const ends = [axis.points.length - 1, axis.points.length - 2, Math.floor(axis.points.length / 2)];
  const spot = labels.take(
    ends
      .filter((i) => numbers[i] !== undefined)
      .flatMap((i) =>
        [-16, 3].map((dy) => ({
          x: Math.min(x(axis.points[i]!) + 2, area.x + area.width) - width,
          y: y(numbers[i]!) + dy,
          width,
          height: 13,
        })),
      ),
  );
  return spot ? [svg('text', { class: 'name here', x: spot.x, y: spot.y + 11 }, name)] : [];
}

function markOf({ x, y }: Frame, at: number | undefined, number: number | undefined): SVGElement {
  if (at === undefined || number === undefined) return svg('g');
  return svg(
    'g',
    { class: 'cursor' },
    svg('rect', { x: x(at) - 6, y: y(number) - 6, width: 12, height: 12 }),
  );
}
