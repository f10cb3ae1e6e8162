import { type ScaleLinear, scaleLinear } from 'd3-scale';
import type { Extent } from '../../../shared/tables/scale.ts';
import { svg } from './element.ts';
import { type Box, widthOfText } from './labels.ts';
import { roundSteps } from './scales.ts';

/** The drawing area of a chart with its two scales, in pixels. */
export interface Frame {
  readonly area: Box;
  readonly x: ScaleLinear<number, number>;
  readonly y: ScaleLinear<number, number>;
}

export interface Side {
  readonly title: string;
  readonly domain: Extent;
  /** Breakpoints, drawn as short ticks. */
  readonly points?: readonly number[];
}

const LEFT = 46;
const BOTTOM = 36;
const TOP = 20;
const RIGHT = 14;

export function frameOf(width: number, height: number, x: Side, y: Side): Frame {
  const area = {
    x: LEFT,
    y: TOP,
    width: Math.max(40, width - LEFT - RIGHT),
    height: Math.max(40, height - TOP - BOTTOM),
  };
  return {
    area,
    x: scaleLinear(x.domain, [area.x, area.x + area.width]),
    y: scaleLinear(y.domain, [area.y + area.height, area.y]),
  };
}

/** Border, round numbers along both axes with hairlines, breakpoints as ticks, and titles. */
export function axesOf({ area, x, y }: Frame, across: Side, up: Side, hairlines: boolean): SVGGElement {
  const bottom = area.y + area.height;
  const right = area.x + area.width;
  const made = svg('g', { class: 'axes' });
  for (const { at, text } of roundSteps(across.domain, Math.max(2, Math.floor(area.width / 70)))) {
    if (hairlines) made.append(svg('line', { class: 'hair', x1: x(at), x2: x(at), y1: area.y, y2: bottom }));
    made.append(svg('text', { x: x(at), y: bottom + 15, 'text-anchor': 'middle' }, text));
  }
  for (const { at, text } of roundSteps(up.domain, Math.max(2, Math.floor(area.height / 40)))) {
    if (hairlines) made.append(svg('line', { class: 'hair', x1: area.x, x2: right, y1: y(at), y2: y(at) }));
    made.append(svg('text', { x: area.x - 8, y: y(at), dy: '0.35em', 'text-anchor': 'end' }, text));
  }
  for (const point of across.points ?? [])
    made.append(svg('line', { class: 'tick', x1: x(point), x2: x(point), y1: bottom, y2: bottom + 4 }));
  for (const point of up.points ?? [])
    made.append(svg('line', { class: 'tick', x1: area.x - 4, x2: area.x, y1: y(point), y2: y(point) }));
  made.append(
    svg('rect', { class: 'border', x: area.x, y: area.y, width: area.width, height: area.height }),
    svg('text', { class: 'title', x: right, y: bottom + 30, 'text-anchor': 'end' }, across.title),
    svg(
      'text',
      { class: 'title', x: Math.max(2, area.x - 8 - widthOfText('0000')), y: area.y - 8 },
      up.title,
    ),
  );
  return made;
}
