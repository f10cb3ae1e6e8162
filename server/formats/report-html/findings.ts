import { capped } from '../../../shared/checks/capped.ts';
import type { Finding } from '../../../shared/checks/finding.ts';
import { folded } from '../../../shared/checks/folded.ts';
import { checkNamed } from '../../../shared/checks/registry.ts';
import { counted } from '../../../shared/counted.ts';
import { paperPath } from '../../files.ts';
import { type Html, html, prose } from '../../html.ts';
import { type CheckedFile, locate } from '../check-report.ts';

import type { ChapterMaker } from './dossier.ts';
import { writtenText } from './written.ts';

/** Findings, accepted findings and changed thresholds, with their reasons. */
export const findingsChapter: ChapterMaker = ({ name, analysis }) => {
  const checked: CheckedFile = { name, analysis };
  const { findings, accepted, installation } = analysis;
  const rows = capped(findings).map((finding) => findingRow(checked, finding));
  const list =
    findings.length > 0
      ? html`<table class="findings"><thead><tr><th scope="col">Severity</th><th scope="col">Place</th>
<th scope="col">Finding</th></tr></thead><tbody>${rows}</tbody></table>`
      : html`<p>No findings. This does not prove that the engine is safe.</p>`;
  const departures = accepted.map(
    ({ finding, reason }) => html`${findingRow(checked, finding)}
<tr class="reason"><td></td><td></td><td>Accepted: ${reason}</td></tr>`,
  );
  const thresholds = Object.entries(installation.configuration.checks ?? {}).flatMap(([id, own]) =>
    Object.entries(own).flatMap(([setting, value]) =>
      setting === 'reason' || !value
        ? []
        : [thresholdRow(id, setting, writtenText(value), writtenText(own.reason))],
    ),
  );
  const body = html`${list}
<h3>Accepted findings</h3>
${departures.length > 0 ? html`<table class="findings">${departures}</table>` : html`<p>None.</p>`}
<h3>Changed thresholds</h3>
${thresholds.length > 0 ? html`<table class="findings">${thresholds}</table>` : html`<p>None.</p>`}`;
  return { id: 'findings', title: 'Findings', body };
};

function findingRow(checked: CheckedFile, finding: Finding): Html {
  const { file, range } = locate(checked, finding.writtenAt ?? finding);
  const { severity, rule, message } = finding;
  return html`<tr><td class="${severity}">${severity}</td>
<td>${paperPath(file.path)}:${range.start.line + 1}</td><td class="prose">${prose(message)} <code>${rule}</code></td></tr>\n`;
}

function thresholdRow(id: string, setting: string, value: string, reason: string): Html {
  const usual = checkNamed(id)?.settings?.[setting];
  const before = usual ? `default ${usual.value}` : 'setting does not exist';
  return html`<tr><td><code>${id}</code></td><td>${setting}: ${value}; ${before}</td>
<td>${reason === '' ? 'ignored, because no reason is given' : reason}</td></tr>\n`;
}

/** `2 errors, 1 warning; 3 findings accepted` */
export function findingsSummary({ findings, accepted }: CheckedFile['analysis']): string {
  const counts = (['error', 'warning'] as const).flatMap((severity) => {
    const count = folded(findings).filter((finding) => finding.severity === severity).length;
    return count > 0 ? counted(count, severity) : [];
  });
  const found = counts.length > 0 ? counts.join(', ') : 'No errors or warnings';
  return `${found}; ${counted(accepted.length, 'finding')} accepted`;
}
