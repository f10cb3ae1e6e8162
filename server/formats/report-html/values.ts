import type {
  EngineConfiguration,
  OperatingPoint as WrittenPoint,
} from '../../../generated/configuration.ts';
import { engineShape } from '../../../shared/configuration/schemas.ts';
import { childShape, shapeAt } from '../../../shared/configuration/shape.ts';
import type { OperatingPoint } from '../../../shared/derived/operating-point.ts';
import { pointValues } from '../../../shared/derived/registry.ts';
import type { DerivedValue } from '../../../shared/derived/value.ts';
import { citation } from '../../../shared/physics/citation.ts';
import { columnInUnit } from '../../../shared/quantity/index.ts';
import { type Html, html } from '../../html.ts';
import { moversOf, moversText } from '../../sensitivity-words.ts';
import { notesOf, originsOf, placesIn, resultsIn, sourcesOf, type ValueGroup } from '../derive-report.ts';
import type { ChapterMaker } from './dossier.ts';
import { decimalPadding } from './numbers.ts';
import { writtenText } from './written.ts';

type WrittenPoints = EngineConfiguration['operating_points'];

/** The number of points side by side that fits on a sheet of paper. */
const MOST_COLUMNS = 6;

/** The operating points side by side: one row per value, one column per point. */
export const pointsChapter: ChapterMaker = ({ analysis: { derivation } }) => {
  const { points, installation } = derivation;
  const written = installation.configuration.operating_points;
  if (points.length === 0) return undefined;
  const columns = Math.ceil(points.length / Math.ceil(points.length / MOST_COLUMNS));
  const sheets = Array.from({ length: Math.ceil(points.length / columns) }, (_, i) =>
    pointsTable(points.slice(i * columns, (i + 1) * columns), written),
  );
  return { id: 'points', title: 'Operating points', body: html`${sheets}` };
};

function pointsTable(points: readonly OperatingPoint[], all: WrittenPoints): Html {
  const lines = pointValues.flatMap((definition) => {
    const values = points.map((point) => point.get(definition));
    const [first, ...others] = values.filter((value) => value !== undefined);
    if (!first) return [];
    const { label, show } = first;
    const number = columnInUnit(
      [first, ...others].map(({ canonical }) => canonical),
      show,
    );
    return { label, show, texts: values.map((value) => (value ? number(value.canonical) : '–')) };
  });
  const pad = decimalPadding(lines.flatMap(({ texts }) => texts));
  const rows = lines.map(({ label, show, texts }) => {
    const cells = texts.map((text) => html`<td>${pad(text)}</td>`);
    return html`<tr><th scope="row">${label}</th><td>${show}</td>${cells}</tr>\n`;
  });
  return html`<div class="wide"><table class="figures">
<thead><tr><td></td><td></td>${points.map(({ name }) => html`<th scope="col">${name}</th>`)}</tr></thead>
<tbody class="given">${conditionRows(points, all)}</tbody>
<tbody>${rows}</tbody></table></div>`;
}

/** The keys of the points, in the order of the file. */
function conditionRows(points: readonly OperatingPoint[], all: WrittenPoints): Html[] {
  const written = points.map(({ name }) => all?.[name] ?? {});
  const keys = [...new Set(written.flatMap((point) => Object.keys(point)))] as (keyof WrittenPoint)[];
  const shape = shapeAt(engineShape, ['operating_points', '']);
  return keys.map((key) => {
    const cells = written.map((point: WrittenPoint) => html`<td>${writtenText(point[key]) || '–'}</td>`);
    return html`<tr><th scope="row">${childShape(shape, key)?.label ?? key}</th><td></td>${cells}</tr>\n`;
  });
}

/** The derivation of each value: formula, numbers, source. */
export const workingChapter: ChapterMaker = ({ groups }) => {
  if (groups.length === 0) return undefined;
  const body = html`<p>Each value with its formula, the numbers in the formula, and its sources, which are listed at the end of
the chapter.</p>
${groups.map((group) => groupPart(group))}
<h3>Sources</h3>
<dl class="sources">${sourcesOf({ groups }).map(
    (key) => html`<dt id="source-${key}">${key}</dt><dd>${citation(key)}</dd>\n`,
  )}</dl>`;
  return { id: 'working', title: 'Derived values with formulas and sources', body };
};

function groupPart(group: ValueGroup): Html {
  const { title, conditions, values } = group;
  const state = conditions.length > 0 ? html`<p>${conditions.join(' · ')}</p>` : undefined;
  const placeOf = placesIn(group);
  const resultOf = resultsIn(values);
  const rows = values.map((value) =>
    workingRow(value, resultOf(value), placeOf(value), moversText(moversOf(value))),
  );
  return html`<h3>${title}</h3>\n${state}\n<table class="working">
<thead><tr><th scope="col">Value</th><th scope="col">Result</th><th scope="col">Derivation</th></tr></thead>
<tbody>${rows}</tbody></table>\n`;
}

function workingRow(
  value: DerivedValue,
  result: string,
  place: string | undefined,
  movers: string | undefined,
): Html {
  const remarks = [...originsOf(value), ...notesOf(value), ...(movers === undefined ? [] : [movers])];
  const keys = value.sources.map((key) => html` <a href="#source-${key}">${key}</a>`);
  return html`<tr><th scope="row">${value.label}${place && html`<div class="place">${place}</div>`}</th>
<td class="result">${result}</td>
<td><div class="formula">${value.formula}</div><div class="formula">= ${value.substituted}</div>
<div class="remark">${remarks.map((remark) => html`${remark}; `)}source:${keys}</div></td></tr>\n`;
}
