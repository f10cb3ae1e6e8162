import type { RunMap } from '../features/run-view-types.ts';
import { paperPath, projectPath } from '../files.ts';
import { type Content, type Html, html } from '../html.ts';
import { CURVES, curveOf, departuresOf, drawnColumnOf, inUnitOf } from '../run-drawn.ts';
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
  return html`<section><h2>${before}${run.title}</h2><p class="head">${nameOf(run)}</p>
${partsOf(run).map(partHtml)}
${departuresOf(run.result).map(departures)}
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

/** Power, torque and consumption over speed with their intervals, before and after. */
const curves = (runs: readonly NamedRun[], against: readonly NamedRun[]): Content =>
  CURVES.map((curve) => {
    const lines = [...runs, ...against].map(({ title, result }): DrawnLine => {
      const { speed, mean, low, high } = curveOf(result, curve);
      return { label: title, x: speed, y: mean, low, high };
    });
    return drawing(curve[1], 'Speed, rpm', lines);
  });

/** The map's departures: measured against now, where rows say something. */
function departures({ mapSets, columns, rows, cells }: RunMap): Html {
  const at = new Map(cells.map((cell) => [`${cell.row} ${cell.column}`, cell]));
  const shown = (cell: RunMap['cells'][number] | undefined) =>
    cell?.believed
      ? html`<strong>${cell.text}</strong>`
      : cell && html`<span class="remark">${cell.text}</span>`;
  const lines = rows.map((pressure, row) => ({ pressure, row })).reverse();
  return html`<h3>Departures on the map${mapSets && `, ${mapSets}`}</h3>
<div class="wide"><table class="map points"><caption>Measured less now, % of the cell; believed cells in bold. Speed in rpm, pressure in kPa.</caption>
<tbody>${lines.map(
    ({ pressure, row }) =>
      html`<tr><th scope="row">${pressure}</th>${columns.map((_, column) => html`<td>${shown(at.get(`${row} ${column}`))}</td>`)}</tr>`,
  )}</tbody><tfoot><tr><th></th>${columns.map((speed) => html`<th>${speed}</th>`)}</tr></tfoot></table></div>`;
}

/** Each column over time, its limits, and when these acted. */
function courseHtml({ result }: NamedRun, { timeline, columns }: Course): Html {
  const figures = columns.map((column, i) => {
    const { name, unit, levels, lit } = drawnColumnOf(result.sums, column);
    const inUnit = inUnitOf(unit);
    const [low, high] = [timeline.lows[i]!.map(inUnit), timeline.highs[i]!.map(inUnit)];
    const line = {
      label: name,
      x: timeline.times,
      y: low.map((value, at) => (value + high[at]!) / 2),
      low,
      high,
    };
    return drawing(`${name}${unit === '' ? '' : `, ${unit}`}`, 'Time, s', [line], {
      levels: levels.map(({ at, value }) => ({ label: at.split('.').slice(-3).join('.'), y: value })),
      spans: lit,
    });
  });
  return html`<h3>Course</h3><p class="legend">Lowest and highest values of each step; stretches in which a limit acted are shaded.</p>${figures}`;
}
