import type { TableValue } from '../../../shared/configuration/values.ts';
import { maximumOf, minimumOf } from '../../../shared/extremes.ts';
import { columnFormat } from '../../../shared/quantity/index.ts';
import { type Html, html } from '../../html.ts';
import { axisTitle } from './grid.ts';
import { numberIn, withUnit } from './numbers.ts';

/** One line of a chart; lines differ in their dashes, not in colour. */
export interface Line {
  readonly label: string;
  readonly curve: TableValue;
}

const [WIDTH, HEIGHT] = [460, 230];
const EDGES = { left: 58, right: 14, top: 26, bottom: 40 };

/**
 * A drawing of curves over one axis; undefined if one is incomplete or not finite, or if their axes differ.
 */
export function chart(title: string, lines: readonly Line[]): Html | undefined {
  const [first] = lines;
  const axis = first?.curve.x;
  if (!axis || !lines.every(({ curve }) => curve.x?.unit === axis.unit && isDrawable(curve)))
    return undefined;
  const unit = first.curve.unit;
  const across = scale(
    lines.flatMap(({ curve }) => curve.x!.breakpoints.map((point) => numberIn(point, axis.unit))),
    [EDGES.left, WIDTH - EDGES.right],
  );
  const up = scale(
    lines.flatMap(({ curve }) => Array.from(curve.cells!, (cell) => numberIn(cell, unit))),
    [HEIGHT - EDGES.bottom, EDGES.top],
  );
  const drawn = lines.map(({ curve }, i) => {
    const points = curve.x!.breakpoints.map((point, at) => {
      const cell = numberIn(curve.cells![at]!, unit);
      return [across.place(numberIn(point, axis.unit)), up.place(cell)].map(rounded);
    });
    const dots = points.map(([x, y]) => html`<circle class="dot" cx="${x}" cy="${y}" r="2.6"/>`);
    const path = points.map((point) => point.join(' ')).join(' L ');
    return html`<path class="line l${i % 2}" d="M ${path}"/>${dots}`;
  });
  return html`<figure><svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${title}">
${across.ticks.map((tick) => vertical(across.place(tick), across.text(tick)))}
${up.ticks.map((tick) => horizontal(up.place(tick), up.text(tick)))}
${drawn}
<text class="axis" x="${WIDTH - EDGES.right}" y="${HEIGHT - 6}" text-anchor="end">${axisTitle(axis)}</text>
<text class="axis" x="${EDGES.left}" y="14">${unit}</text>
</svg>${lines.length > 1 ? legend(lines) : undefined}</figure>`;
}

function isDrawable({ x, cells }: TableValue): boolean {
  return cells !== undefined && [...cells, ...x!.breakpoints].every(Number.isFinite);
}

function legend(lines: readonly Line[]): Html {
  const items = lines.map(({ label }, i) => {
    return html`<span><svg class="key" viewBox="0 0 30 8" aria-hidden="true"><path class="line l${i % 2}"
 d="M 0 4 L 30 4"/></svg> ${label}</span> `;
  });
  return html`<figcaption>${items}</figcaption>`;
}

function vertical(x: number, tick: string): Html {
  const bottom = HEIGHT - EDGES.bottom;
  return html`<path class="rule" d="M ${rounded(x)} ${EDGES.top} L ${rounded(x)} ${bottom}"/>
<text class="tick" x="${rounded(x)}" y="${bottom + 15}" text-anchor="middle">${tick}</text>`;
}

function horizontal(y: number, tick: string): Html {
  const [left, right] = [EDGES.left, WIDTH - EDGES.right];
  return html`<path class="rule" d="M ${left} ${rounded(y)} L ${right} ${rounded(y)}"/>
<text class="tick" x="${left - 6}" y="${rounded(y + 4)}" text-anchor="end">${tick}</text>`;
}

interface Scale {
  readonly ticks: readonly number[];
  place(value: number): number;
  text(tick: number): string;
}

/** A linear scale that covers all values, with round ticks. */
function scale(values: readonly number[], [from, to]: readonly [number, number]): Scale {
  const [low, high] = [minimumOf(values), maximumOf(values)];
  const spread = high > low ? high - low : Math.abs(high) || 1;
  const step = roundStep(spread / 4);
  const [start, end] = [Math.floor(low / step) * step, Math.ceil(high / step) * step];
  const last = end > start ? end : start + step;
  const count = Math.round((last - start) / step);
  const ticks = Array.from({ length: count + 1 }, (_, i) => start + i * step);
  return {
    ticks,
    text: columnFormat(ticks),
    place: (value) => from + ((value - start) / (last - start)) * (to - from),
  };
}

/** 1, 2, 2.5 or 5 times a power of ten, not smaller than `least`. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return ([1, 2, 2.5, 5].find((factor) => factor * power >= least) ?? 10) * power;
}

const rounded = (number: number): number => Math.round(number * 10) / 10;

/** The points of a curve as written. */
export function curveTable({ x, rows, unit }: TableValue): Html {
  const heads = x?.nodes.map(({ text }) => html`<td>${text}</td>`);
  const cells = rows[0]?.map(({ text }) => html`<td>${text}</td>`);
  return html`<div class="wide"><table class="points">
<tr><th scope="row">${x && axisTitle(x)}</th>${heads}</tr>
<tr><th scope="row">${withUnit('Value', unit)}</th>${cells}</tr>
</table></div>`;
}
