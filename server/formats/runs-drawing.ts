import { maximumOf, minimumOf } from '../../shared/extremes.ts';
import { columnFormat } from '../../shared/quantity/index.ts';
import { type Html, html } from '../html.ts';

/** One line of a drawing, with a band around it. NaN interrupts it. */
export interface DrawnLine {
  readonly label: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

/** A level drawn across, and stretches of x to be shaded. */
export interface Marks {
  readonly levels?: readonly { readonly label: string; readonly y: number }[];
  readonly spans?: readonly (readonly [from: number, to: number])[];
}

const [WIDTH, HEIGHT] = [700, 230];
const EDGES = { left: 60, right: 12, top: 24, bottom: 32 };

/** Lines over a common axis with their bands: the first one solid, the others dashed. Undefined without a point. */
export function drawing(
  title: string,
  xTitle: string,
  lines: readonly DrawnLine[],
  { levels = [], spans = [] }: Marks = {},
): Html | undefined {
  const finite = (numbers: readonly number[]) => numbers.filter(Number.isFinite);
  const xs = finite(lines.flatMap(({ x }) => x));
  const ys = finite(lines.flatMap(({ y, low, high }) => [...y, ...low, ...high]));
  if (xs.length === 0 || ys.length === 0) return undefined;
  const spread = maximumOf(ys) - minimumOf(ys) || 1;
  // A level far away would flatten the lines.
  const near = levels.filter(({ y }) => y > minimumOf(ys) - spread && y < maximumOf(ys) + spread);
  const across = scale(xs, EDGES.left, WIDTH - EDGES.right);
  const up = scale([...ys, ...near.map(({ y }) => y)], HEIGHT - EDGES.bottom, EDGES.top);
  const shades = spans.map(
    ([from, to]) =>
      html`<rect class="span" x="${across.at(from)}" y="${EDGES.top}" width="${Math.max(1, across.at(to) - across.at(from))}" height="${HEIGHT - EDGES.top - EDGES.bottom}"/>`,
  );
  const rules = near.map(
    ({ label, y }) =>
      html`<path class="level" d="M ${EDGES.left} ${up.at(y)} L ${WIDTH - EDGES.right} ${up.at(y)}"/><text class="tick" x="${EDGES.left + 4}" y="${up.at(y) - 3}">${label}</text>`,
  );
  const drawn = lines.map(
    (line, i) =>
      html`${band(line, across, up)}<path class="line l${i % 2}" d="${path(line.x, line.y, across, up)}"/>`,
  );
  return html`<figure><svg class="wide" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${title}">
${shades}${across.ticks.map((tick) => html`<text class="tick" x="${across.at(tick)}" y="${HEIGHT - EDGES.bottom + 14}" text-anchor="middle">${across.text(tick)}</text>`)}
${up.ticks.map((tick) => html`<path class="rule" d="M ${EDGES.left} ${up.at(tick)} L ${WIDTH - EDGES.right} ${up.at(tick)}"/><text class="tick" x="${EDGES.left - 6}" y="${up.at(tick) + 4}" text-anchor="end">${up.text(tick)}</text>`)}
${drawn}${rules}
<text class="axis" x="${EDGES.left}" y="14">${title}</text><text class="axis" x="${WIDTH - EDGES.right}" y="${HEIGHT - 4}" text-anchor="end">${xTitle}</text>
</svg>${lines.length > 1 ? html`<figcaption>${lines.map(({ label }, i) => html`<span><svg class="key" viewBox="0 0 30 8" aria-hidden="true"><path class="line l${i % 2}" d="M 0 4 L 30 4"/></svg> ${label}</span> `)}</figcaption>` : undefined}</figure>`;
}

interface Scale {
  readonly ticks: readonly number[];
  at(value: number): number;
  text(tick: number): string;
}

function scale(values: readonly number[], from: number, to: number): Scale {
  const [low, high] = [minimumOf(values), maximumOf(values)];
  const size = high - low || Math.abs(high) || 1;
  const power = 10 ** Math.floor(Math.log10(size / 4));
  const step = ([1, 2, 2.5, 5].find((factor) => factor * power >= size / 4) ?? 10) * power;
  const [start, end] = [Math.floor(low / step), Math.max(Math.floor(low / step) + 1, Math.ceil(high / step))];
  const ticks = Array.from({ length: end - start + 1 }, (_, i) => (start + i) * step);
  const text = columnFormat(ticks);
  return {
    ticks,
    text,
    at: (value) =>
      Math.round((from + ((value - start * step) / ((end - start) * step)) * (to - from)) * 10) / 10,
  };
}

function path(x: readonly number[], y: readonly number[], across: Scale, up: Scale): string {
  let isDown = false;
  const steps: string[] = [];
  for (const [i, value] of y.entries()) {
    if (Number.isFinite(value)) steps.push(`${isDown ? 'L' : 'M'} ${across.at(x[i]!)} ${up.at(value)}`);
    isDown = Number.isFinite(value);
  }
  return steps.join(' ');
}

function band({ x, low, high }: DrawnLine, across: Scale, up: Scale): Html | undefined {
  const known = x.flatMap((_, i) => (Number.isFinite(low[i]) && Number.isFinite(high[i]) ? [i] : []));
  if (known.length === 0) return undefined;
  const there = known.map((i) => `${across.at(x[i]!)} ${up.at(high[i]!)}`);
  const back = [...known].reverse().map((i) => `${across.at(x[i]!)} ${up.at(low[i]!)}`);
  return html`<path class="band" d="M ${[...there, ...back].join(' L ')} Z"/>`;
}
