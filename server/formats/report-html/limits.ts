import type { Output } from '../../../generated/configuration.ts';
import { cellsOf } from '../../../shared/configuration/bounds.ts';
import { differingIn, type Installation } from '../../../shared/configuration/installation.ts';
import type { TableValue } from '../../../shared/configuration/values.ts';
import { isLevel, type SetLimit, type WarningLight, warningLights } from '../../../shared/derived/lights.ts';
import { type Level, type Limit, limitsOf, type Threshold } from '../../../shared/derived/protection.ts';
import { measuredQuantity } from '../../../shared/quantity/index.ts';
import { type Content, type Html, html } from '../../html.ts';
import { chart, curveTable, type Line } from './chart.ts';
import type { ChapterMaker } from './dossier.ts';
import { writtenText } from './written.ts';

/** The protection limits, and the meaning of each warning light. */
export const limitsChapter: ChapterMaker = ({ analysis: { installation } }) => {
  const { configuration } = installation;
  const limits = limitsOf(configuration);
  const lights = warningLights(installation).map(lightRow);
  if (limits.length === 0 && lights.length === 0) return undefined;
  const rows = limits.map((limit) => limitRow(limit));
  const body = html`<h3>Warning lights</h3>
${lights.length > 0 ? html`<table class="list">${lights}</table>` : html`<p>None.</p>`}
<h3>Protection limits</h3>
<div class="wide"><table class="list"><thead><tr><th scope="col">Limit</th><th scope="col">Quantity</th>
<th scope="col">Caution</th><th scope="col">Warning</th><th scope="col">Hysteresis</th>
<th scope="col">Delay</th><th scope="col">Action</th></tr></thead><tbody>${rows}</tbody></table></div>
${changedBySets(installation)}
${limits.map(limitCurves)}`;
  return { id: 'limits', title: 'Limits and warning lights', body };
};

/** The limits above are those without a map set. */
function changedBySets({ configuration, engines }: Installation): Content {
  const changed = differingIn(engines, 'protection').filter(
    (engine) => engine.configuration.protection !== configuration.protection,
  );
  return changed.map(
    ({ mapSet: name }) =>
      html`<p>Map set <q>${name}</q> changes limits: see <a href="#map-sets">map sets</a>.</p>\n`,
  );
}

function lightRow({ name, output, limits, sensors }: WarningLight): Html {
  const meaning = output.meaning?.text;
  const causes = [
    ...(isLevel(meaning) ? limits.map((limit) => sentence(limit, meaning)) : []),
    ...sensors.map(
      ([sensor, { fault_outside: bounds }]) =>
        html`Signal of <code>${sensor}</code> is outside ${writtenText(bounds)}`,
    ),
  ];
  const items = causes.map((cause) => html`<li>${cause}</li>`);
  return html`<tr><th scope="row">${name}</th><td>${meaningText(output)}</td>
<td>${items.length > 0 ? html`comes on if<ul>${items}</ul>` : 'Nothing in the file switches it on.'}</td></tr>\n`;
}

/** `caution, flashing` */
export const meaningText = ({ meaning, shows }: Output): string =>
  `${meaning?.text ?? 'no meaning stated'}${shows?.text === 'flashing' ? ', flashing' : ''}`;

export const actionsOf = ({ action }: Limit['section']): string[] =>
  (action?.items ?? []).map(({ text }) => text);

/** `Oil pressure is below 1.2..3.2 bar gauge by engine speed (oil_pressure_low)` */
function sentence({ limit, mapSet }: SetLimit, level: Level): Html {
  const { name, watches, direction } = limit;
  const bound = thresholdText(limit[level]);
  const set = mapSet === undefined ? undefined : html` in map set <q>${mapSet}</q>`;
  return html`${quantityName(watches)} is ${direction} ${bound}${set} <code>${name}</code>`;
}

export function quantityName(text: string): string {
  const found = measuredQuantity(text);
  if (!found) return text;
  return found.index === undefined ? found.entry.label : `${found.entry.label} ${found.index}`;
}

export function thresholdText(threshold: Threshold | undefined): string {
  if (threshold?.type !== 'table') return writtenText(threshold);
  const cells = cellsOf(threshold);
  if (cells.length === 0) return 'an incomplete curve';
  const over = quantityName(threshold.x?.quantity ?? '').toLowerCase();
  return `${endsOf(cells).join(' to ')} ${threshold.unit} over ${over}`;
}

/** The first and the last value of a curve as they are written; the least and the greatest if one between them is beyond both. */
function endsOf(cells: ReturnType<typeof cellsOf>): string[] {
  const sorted = [...cells].sort((a, b) => a.canonical - b.canonical);
  const [least, greatest] = [sorted[0]!, sorted.at(-1)!];
  const ends = [cells[0]!, cells.at(-1)!];
  const holds = (value: number) => ends.some(({ canonical }) => canonical === value);
  const shown = holds(least.canonical) && holds(greatest.canonical) ? ends : [least, greatest];
  return shown.map(({ node }) => node.text);
}

function limitRow({ name, section, watches, direction, caution, warning }: Limit): Html {
  return html`<tr><th scope="row">${name}</th><td>${quantityName(watches)} ${direction}</td>
<td>${thresholdText(caution) || '–'}</td><td>${thresholdText(warning) || '–'}</td>
<td>${writtenText(section.hysteresis) || 'none'}</td><td>${writtenText(section.delay) || 'none'}</td>
<td>${actionsOf(section).join(', ') || 'none'}</td></tr>\n`;
}

function limitCurves({ name, caution, warning }: Limit): Content {
  const lines = [line('caution', caution), line('warning', warning)].flatMap((one) => one ?? []);
  if (lines.length === 0) return undefined;
  const parts = lines.map(({ label, curve }) => html`<p>${label}</p>${curveTable(curve)}`);
  return html`<section class="table"><h4>${name}</h4>${chart(name, lines)}${parts}</section>`;
}

function line(label: Level, threshold: Threshold | undefined): Line | undefined {
  return threshold?.type === 'table' ? { label, curve: threshold satisfies TableValue } : undefined;
}
