import type {
  EngineConfiguration,
  OperatingPoint as WrittenPoint,
} from '../../../generated/configuration.ts';
import { engineShape } from '../../../shared/configuration/schemas.ts';
import { childShape, shapeAt } from '../../../shared/configuration/shape.ts';
import type { OperatingPoint } from '../../../shared/derived/operating-point.ts';
import { pointValues } from '../../../shared/derived/registry.ts';
import { type DerivedValue, valueText } from '../../../shared/derived/value.ts';
import { citation } from '../../../shared/physics/citation.ts';
import { type Html, html } from '../../html.ts';
import { originsOf, placesIn, sourcesOf, type ValueGroup } from '../derive-report.ts';
import type { ChapterMaker } from './dossier.ts';
import { numberText } from './numbers.ts';
import { writtenText } from './written.ts';

type WrittenPoints = EngineConfiguration['operating_points'];

/** As many points stand side by side as a sheet of paper is wide. */
const MOST_COLUMNS = 6;

/** The operating points side by side: each value a row, each point a column. */
export const pointsChapter: ChapterMaker = ({ analysis: { derivation } }) => {
  const { points, installation } = derivation;
  const written = installation.configuration.operating_points;
  if (points.length === 0) return undefined;
  const columns = Math.ceil(points.length / Math.ceil(points.length / MOST_COLUMNS));
  const sheets = Array.from({ length: Math.ceil(points.length / columns) }, (_, i) =>
    pointsTable(points.slice(i * columns, (i + 1) * columns), written),
  );
  return { id: 'points', title: 'What it comes to at each operating point', body: html`${sheets}` };
};

function pointsTable(points: readonly OperatingPoint[], all: WrittenPoints): Html {
  const rows = pointValues.flatMap((definition) => {
    const values = points.map((point) => point.get(definition));
    const [first] = values.filter((value) => value !== undefined);
    if (!first) return [];
    const cells = values.map(
      (value) => html`<td>${value ? numberText(value.canonical, value.show) : '–'}</td>`,
    );
    return html`<tr><th scope="row">${first.label}</th><td>${first.show}</td>${cells}</tr>\n`;
  });
  return html`<div class="wide"><table class="figures">
<thead><tr><td></td><td></td>${points.map(({ name }) => html`<th scope="col">${name}</th>`)}</tr></thead>
<tbody class="given">${conditionRows(points, all)}</tbody>
<tbody>${rows}</tbody></table></div>`;
}

/** What the file says of the points, in the order in which it says it. */
function conditionRows(points: readonly OperatingPoint[], all: WrittenPoints): Html[] {
  const written = points.map(({ name }) => all?.[name] ?? {});
  const keys = [...new Set(written.flatMap((point) => Object.keys(point)))] as (keyof WrittenPoint)[];
  const shape = shapeAt(engineShape, ['operating_points', '']);
  return keys.map((key) => {
    const cells = written.map((point: WrittenPoint) => html`<td>${writtenText(point[key]) || '–'}</td>`);
    return html`<tr><th scope="row">${childShape(shape, key)?.label ?? key}</th><td></td>${cells}</tr>\n`;
  });
}

/** How each value came about: formula, numbers put in, source. */
export const workingChapter: ChapterMaker = ({ groups }) => {
  if (groups.length === 0) return undefined;
  const body = html`<p>Each value with its formula, the formula with the numbers put in, and the key of its
source; the sources stand at the end of the chapter.</p>
${groups.map(groupPart)}
<h3>Sources</h3>
<dl class="sources">${sourcesOf({ name: '', groups }).map(
    (key) => html`<dt id="source-${key}">${key}</dt><dd>${citation(key)}</dd>\n`,
  )}</dl>`;
  return { id: 'working', title: 'Derived values, formulas and sources', body };
};

function groupPart(group: ValueGroup): Html {
  const { title, conditions, values } = group;
  const state = conditions.length > 0 ? html`<p>${conditions.join(' · ')}</p>` : undefined;
  const placeOf = placesIn(group);
  const rows = values.map((value) => workingRow(value, placeOf(value)));
  return html`<h3>${title}</h3>\n${state}\n<table class="working">
<thead><tr><th scope="col">Value</th><th scope="col">Result</th><th scope="col">Working</th></tr></thead>
<tbody>${rows}</tbody></table>\n`;
}

function workingRow(value: DerivedValue, place: string | undefined): Html {
  const remarks = [...originsOf(value), ...(value.note === undefined ? [] : [value.note])];
  const keys = value.sources.map((key) => html` <a href="#source-${key}">${key}</a>`);
  return html`<tr><th scope="row">${value.label}${place && html`<div class="place">${place}</div>`}</th>
<td class="result">${valueText(value)}</td>
<td><div class="formula">${value.formula}</div><div class="formula">= ${value.substituted}</div>
<div class="remark">${remarks.map((remark) => html`${remark}; `)}source:${keys}</div></td></tr>\n`;
}
