import type { PointView } from '../../../shared/tables/view.ts';
import { svg } from './element.ts';
import type { Frame } from './frame.ts';
import { type Labels, widthOfText } from './labels.ts';
import { short } from './scales.ts';

/** An operating point in pixels. Points at the same place share a ring. */
export interface Placed {
  readonly names: readonly string[];
  readonly value: number;
  readonly px: number;
  readonly py: number;
}

export function placedPoints(
  points: readonly PointView[],
  place: (point: PointView) => [number, number],
): Placed[] {
  const groups = new Map<string, Placed>();
  for (const point of points) {
    const [px, py] = place(point);
    const key = `${Math.round(px)} ${Math.round(py)}`;
    groups.set(key, { names: [...(groups.get(key)?.names ?? []), point.name], value: point.value, px, py });
  }
  return [...groups.values()];
}

const MOST_NAMES = 2;

/** The operating points, each a ring with its name and the value read there. */
export function pointMarks(placed: readonly Placed[], labels: Labels): SVGGElement {
  const made = svg('g', { class: 'points' });
  for (const { px, py } of placed) labels.block({ x: px - 5, y: py - 5, width: 10, height: 10 });
  for (const { names, value, px, py } of placed) {
    const more = names.length > MOST_NAMES ? ` and ${names.length - MOST_NAMES} more` : '';
    const text = `${names.slice(0, MOST_NAMES).join(', ')}${more} ${short(value)}`;
    const width = widthOfText(text) + 10;
    const spot = labels.take(
      [
        [8, -7],
        [-8 - width, -7],
        [-width / 2, -22],
        [-width / 2, 8],
        [8, 6],
        [-8 - width, 6],
        [8, -20],
        [-8 - width, -20],
      ].map(([dx, dy]) => ({ x: px + dx!, y: py + dy!, width, height: 14 })),
    );
    made.append(
      svg('circle', { cx: px, cy: py, r: 4 }, svg('title', {}, `${names.join(', ')} ${short(value)}`)),
    );
    if (spot) made.append(svg('text', { x: spot.x + 2, y: spot.y + 11 }, text));
  }
  return made;
}

/** A square around the cell at the cursor, with hairlines to both axes. */
export function cursorMark(
  { area, x, y }: Frame,
  across: number | undefined,
  up: number | undefined,
): SVGGElement {
  const made = svg('g', { class: 'cursor' });
  if (across === undefined || up === undefined) return made;
  const [px, py] = [x(across), y(up)];
  made.append(
    svg('line', { x1: px, x2: px, y1: py + 6, y2: area.y + area.height }),
    svg('line', { x1: area.x, x2: px - 6, y1: py, y2: py }),
    svg('rect', { x: px - 6, y: py - 6, width: 12, height: 12 }),
  );
  return made;
}
