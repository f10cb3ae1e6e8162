import { groupedBy } from '../../../shared/grouped-by.ts';
import { envelopeTexts, NO_ENVELOPE } from '../../../shared/proof/words.ts';
import { type BoundLine, boundLines, VERDICT_MEANINGS, VERDICTS, verdictCounts } from '../../bound-words.ts';
import { type Html, html } from '../../html.ts';
import type { ChapterMaker } from './dossier.ts';

/** Each limit with the bound over all states of the envelope. */
export const boundsChapter: ChapterMaker = ({ bounds, envelope }) => {
  const title = 'Limits in every state';
  if (!envelope) return { id: 'bounds', title, body: html`<p>${NO_ENVELOPE}</p>` };
  const groups = [...groupedBy(boundLines(bounds), ({ label }) => label)];
  const ranges = envelopeTexts(envelope).map(
    ([key, text]) => html`<tr><th scope="row">${key}</th><td>${text}</td></tr>\n`,
  );
  const head = ['Map set and fault', 'Bound', 'Limit', 'Margin', 'Verdict', 'State'];
  const body = html`<p>A bound is a value that no state of the envelope exceeds, with each map set, and with at most one
fault. The state is the one in which the value came closest to the bound, or, if it is beyond the limit, one that is.
${verdictCounts(bounds)}.</p>
<dl>${VERDICTS.map((verdict) => html`<dt>${verdict}</dt><dd>${VERDICT_MEANINGS[verdict]}</dd>\n`)}</dl>
<p>These are bounds of the computed values. They are no better than the maps and constants of the file.</p>
<h3>The envelope</h3>
<table class="list"><tbody>${ranges}</tbody></table>
<h3>Bounds</h3>
${groups.length > 0 ? undefined : html`<p>No value of an operating point has a limit.</p>`}
<div class="wide"><table class="list bounds"><thead><tr>${head.map(
    (text) => html`<th scope="col">${text}</th>`,
  )}</tr></thead>
${groups.map(([label, lines]) => groupPart(label, lines, head.length))}</table></div>`;
  return { id: 'bounds', title, body };
};

const groupPart = (label: string, lines: readonly BoundLine[], columns: number): Html => html`<tbody>
<tr><th scope="rowgroup" colspan="${columns}">${label}</th></tr>
${lines.map(row)}</tbody>`;

function row({ place, bound, reached, limit, margin, verdict, witness, of }: BoundLine): Html {
  const near = of.isClosed ? undefined : html` <span class="remark">${reached} reached</span>`;
  return html`<tr><td>${place}</td><td>${bound}${near}</td><td>${limit}</td><td>${margin}</td>
<td class="verdict ${verdict}">${verdict}</td><td>${witness}</td></tr>\n`;
}
