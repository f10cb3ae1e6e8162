import { SEVERITIES } from '../../../shared/faults/severity.ts';
import type { FaultRow } from '../../../shared/faults/table.ts';
import {
  boundTexts,
  bySeverity,
  effectTexts,
  type FaultLine,
  lostText,
  severityCounts,
  shownText,
} from '../../fault-words.ts';
import { type Html, html, prose } from '../../html.ts';
import type { ChapterMaker } from './dossier.ts';

/** What each single fault does, the worst first. */
export const faultsChapter: ChapterMaker = ({ faults }) => ({
  id: 'faults',
  title: 'Fault table',
  body: faultTableHtml(faults),
});

const HEADS = ['Fails', 'How', 'Effect', 'Lost', 'Shown by'];

export const faultTableHtml = (
  rows: readonly FaultRow[],
): Html => html`<p>Each row is one single fault: ${severityCounts(rows)}.
Everything in it follows from the file, except where a note of the file is marked as stated. Effects are computed, without correction
by the closed loops. An engine with dead cylinders has less power than given, because the others also turn those.</p>
<dl>${Object.entries(SEVERITIES).map(([word, meaning]) => html`<dt>${word}</dt><dd>${meaning}</dd>\n`)}</dl>
<div class="wide"><table class="list faults"><thead><tr>${HEADS.map(
  (head) => html`<th scope="col">${head}</th>`,
)}</tr></thead>
${bySeverity(rows).map(
  ([severity, own]) => html`<tbody>
<tr><th scope="rowgroup" colspan="${HEADS.length}" class="${severity}">${severity}</th></tr>
${own.map(rowHtml)}</tbody>\n`,
)}</table></div>`;

function rowHtml(row: FaultLine): Html {
  const { of, how, reasons, stated } = row;
  const effects = [
    ...reasons.map((reason) => html`<div>${prose(reason)}</div>`),
    ...[...effectTexts(row), ...boundTexts(row)].map((text) => html`<div class="remark">${text}</div>`),
    stated === undefined ? undefined : html`<div><em>Stated:</em> ${stated}</div>`,
  ];
  return html`<tr><th scope="row">${of}</th><td>${how}</td><td>${effects}</td>
<td>${lostText(row)}</td><td>${shownText(row)}</td></tr>\n`;
}
