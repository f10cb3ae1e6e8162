import { splitUnit, toUnit } from '../../shared/quantity/index.ts';
import type { MeasuredCell } from '../../shared/runs/filling.ts';
import type { PowerResult } from '../../shared/runs/result.ts';
import { paperPath, projectPath } from '../files.ts';
import { type Content, type Html, html } from '../html.ts';
import type { Grid } from '../run-words.ts';
import type { Course } from '../runs/read-run.ts';
import type { Format } from './format.ts';
import { pageText } from './report-html/shell.ts';
import { type DrawnLine, drawing } from './runs-drawing.ts';
import { changeParts, type Part, partsOf } from './runs-parts.ts';
import type { NamedRun, RunsReport } from './runs-report.ts';

/** A page for the records: self-contained, without scripts. */
export const runsHtml: Format<RunsReport> = {
  write(report) {
    const { runs, against } = report;
    return pageText(
      'Measured runs',
      html`<h1>Measured runs</h1>
${changeParts(report).map(partHtml)}
${curves(runs, against)}
${runs.map((run) => runHtml(run, ''))}
${against.map((run) => runHtml(run, 'Before: '))}`,
    );
  },
};

function runHtml(run: NamedRun, before: string): Html {
  const { sums, filling } = run.result;
  return html`<section><h2>${before}${run.title}</h2><p class="head">${nameOf(run)}</p>
${partsOf(run).map(partHtml)}
${sums.filling.map((sum) => departures(filling, sum.map.x, sum.map.y))}
${run.course && courseHtml(run, run.course)}</section>
`;
}

/** A path of this machine does not go onto a page that leaves it. */
const nameOf = ({ result: { sums } }: NamedRun): string =>
  sums.files.map((file) => paperPath(projectPath(file))).join(', ');

const partHtml = ({ title, lines = [], grid, note }: Part): Html => html`<h3>${title}</h3>
${lines.length > 0 ? html`<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul>` : undefined}
${grid && grid.rows.length > 0 ? gridHtml(grid) : undefined}${note && grid && grid.rows.length > 0 ? html`<p class="legend">${note}</p>` : undefined}`;

const gridHtml = ({
  head,
  rows,
}: Grid): Html => html`<div class="wide"><table class="figures"><thead><tr>${head.map((text) => html`<th>${text}</th>`)}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${row.map((cell) => html`<td>${cell}</td>`)}</tr>`)}</tbody></table></div>`;

const DRAWN = [
  ['brake_power', 'Brake power, kW', 'kW'],
  ['torque', 'Torque, Nm', 'Nm'],
  ['specific_consumption', 'Specific consumption, g/kWh', 'g/kWh'],
] as const;

/** Power, torque and consumption over speed with their intervals, before and after. */
function curves(runs: readonly NamedRun[], against: readonly NamedRun[]): Content {
  const named = [...runs, ...against];
  return DRAWN.map(([value, title, unit]) => {
    const lines = named.map(
      ({ title: label, result }): DrawnLine => lineOf(label, result.power, value, unit),
    );
    return drawing(title, 'Speed, rpm', lines);
  });
}

function lineOf(
  label: string,
  power: readonly PowerResult[],
  value: (typeof DRAWN)[number][0],
  unit: string,
): DrawnLine {
  const known = power.filter(({ values }) => values[value]);
  const of = (sign: number) =>
    known.map(({ values }) => toUnit(values[value]!.mean + sign * (values[value]!.half || 0), unit));
  return { label, x: known.map(({ speed }) => speed), y: of(0), low: of(-1), high: of(1) };
}

/** The map's departures: measured against now, where rows say something. */
function departures(filling: readonly MeasuredCell[], x: readonly number[], y: readonly number[]): Content {
  const cells = new Map(filling.map((cell) => [`${cell.row} ${cell.column}`, cell]));
  if (cells.size === 0) return undefined;
  const text = ({ now, measured, believed }: MeasuredCell) => {
    const change = (measured / now - 1) * 100;
    const number = `${change < 0 ? '−' : '+'}${Math.abs(change).toFixed(1)}`;
    return believed ? html`<strong>${number}</strong>` : html`<span class="remark">${number}</span>`;
  };
  const rows = y.map((pressure, row) => ({ pressure, row })).reverse();
  return html`<h3>Departures on the map</h3>
<div class="wide"><table class="map points"><caption>Measured less now, % of the cell; believed cells in bold. Speed in rpm, pressure in kPa.</caption>
<tbody>${rows.map(
    ({ pressure, row }) =>
      html`<tr><th scope="row">${Math.round(pressure / 100) / 10}</th>${x.map((_, column) => {
        const cell = cells.get(`${row} ${column}`);
        return html`<td>${cell && text(cell)}</td>`;
      })}</tr>`,
  )}</tbody><tfoot><tr><th></th>${x.map((speed) => html`<th>${speed}</th>`)}</tr></tfoot></table></div>`;
}

/** Each column over time, its limits, and when these acted. */
function courseHtml({ result }: NamedRun, { timeline, columns }: Course): Html {
  const { limits } = result.sums;
  const figures = columns.map(({ quantity, unit, name }, i) => {
    const shown = splitUnit(unit)?.unit;
    const inUnit = (values: readonly number[]) =>
      values.map((value) => (shown ? toUnit(value, unit) : value));
    const [low, high] = [inUnit(timeline.lows[i]!), inUnit(timeline.highs[i]!)];
    const own = limits.filter((limit) => limit.quantity === quantity && limit.closest);
    const levels = own.map(({ at, closest }) => ({
      label: at.split('.').slice(-3).join('.'),
      y: shown ? toUnit(closest!.columnLevel, unit) : closest!.columnLevel,
    }));
    const line = {
      label: name,
      x: timeline.times,
      y: low.map((value, at) => (value + high[at]!) / 2),
      low,
      high,
    };
    const spans = own.flatMap(({ lit }) => lit);
    return drawing(`${name}${unit === '' ? '' : `, ${unit}`}`, 'Time, s', [line], { levels, spans });
  });
  return html`<h3>Course</h3><p class="legend">Lowest and highest values of each step; stretches in which a limit acted are shaded.</p>${figures}`;
}
