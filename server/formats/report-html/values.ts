import { allOfPoint } from '../../../shared/derived/derivation.ts';
import { pointValues } from '../../../shared/derived/registry.ts';
import { type DerivedValue, valueText } from '../../../shared/derived/value.ts';
import { citation } from '../../../shared/physics/citation.ts';
import { type Html, html } from '../../html.ts';
import { originsOf, placeIn, sourcesOf, type ValueGroup } from '../derive-report.ts';
import type { ChapterMaker } from './dossier.ts';

/** The operating points side by side: each value a row, each point a column. */
export const pointsChapter: ChapterMaker = ({ analysis: { derivation } }) => {
  const { points } = derivation;
  if (points.length === 0) return undefined;
  const values = points.map((point) => new Map(allOfPoint(point).map((value) => [value.id, value])));
  const rows = pointValues.flatMap(({ id, label }) => {
    const cells = values.map((ofPoint) => ofPoint.get(id));
    if (cells.every((cell) => cell === undefined)) return [];
    return html`<tr><th scope="row">${label}</th>${cells.map(
      (cell) => html`<td>${cell ? valueText(cell) : '–'}</td>`,
    )}</tr>\n`;
  });
  const body = html`<div class="wide"><table class="figures">
<thead><tr><td></td>${points.map(({ name }) => html`<th scope="col">${name}</th>`)}</tr></thead>
<tbody>${rows}</tbody></table></div>`;
  return { id: 'points', title: 'What it comes to at each operating point', body };
};

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
  const rows = values.map((value) => workingRow(value, placeIn(group, value)));
  return html`<h3>${title}</h3>\n${state}\n<table class="working">
<thead><tr><th scope="col">Value</th><th scope="col">Result</th><th scope="col">Working</th></tr></thead>
<tbody>${rows}</tbody></table>\n`;
}

export function workingRow(value: DerivedValue, place: string | undefined): Html {
  const remarks = [...originsOf(value), ...(value.note === undefined ? [] : [value.note])];
  const keys = value.sources.map((key) => html` <a href="#source-${key}">${key}</a>`);
  return html`<tr><th scope="row">${value.label}${place && html`<div class="place">${place}</div>`}</th>
<td class="result">${valueText(value)}</td>
<td><div class="formula">${value.formula}</div><div class="formula">= ${value.substituted}</div>
<div class="remark">${remarks.map((remark) => html`${remark}; `)}source:${keys}</div></td></tr>\n`;
}
