import type { EngineConfiguration } from '../../../generated/configuration.ts';
import { capped } from '../../../shared/checks/capped.ts';
import type { Finding } from '../../../shared/checks/finding.ts';
import { folded } from '../../../shared/checks/folded.ts';
import { checkNamed } from '../../../shared/checks/registry.ts';
import { counted } from '../../../shared/counted.ts';
import { type Html, html, prose } from '../../html.ts';
import { type CheckedFile, locate } from '../check-report.ts';

import type { ChapterMaker, Dossier } from './dossier.ts';
import { writtenText } from './written.ts';

/** Findings, accepted findings and changed thresholds, with their reasons. */
export const findingsChapter: ChapterMaker = ({ name, analysis, fileName }) => {
  const checked: CheckedFile = { name, analysis };
  const { findings, accepted, installation } = analysis;
  const rows = capped(findings).map((finding) => findingRow(checked, fileName, finding));
  const list =
    findings.length > 0
      ? html`<table class="findings"><thead><tr><th scope="col">Severity</th><th scope="col">Place</th>
<th scope="col">Finding</th></tr></thead><tbody>${rows}</tbody></table>`
      : html`<p>No findings. This does not prove that the engine is safe.</p>`;
  const departures = accepted.map(
    ({ finding, reason }) => html`${findingRow(checked, fileName, finding)}
<tr class="reason"><td></td><td></td><td>Accepted: ${reason}</td></tr>`,
  );
  const thresholds = changedThresholds(installation.configuration).map(thresholdRow);
  const body = html`${list}
<h3>Accepted findings</h3>
${departures.length > 0 ? html`<table class="findings">${departures}</table>` : html`<p>None.</p>`}
<h3>Changed thresholds</h3>
${thresholds.length > 0 ? html`<table class="findings">${thresholds}</table>` : html`<p>None.</p>`}`;
  return { id: 'findings', title: 'Findings', body };
};

function findingRow(checked: CheckedFile, fileName: Dossier['fileName'], finding: Finding): Html {
  const { file, range } = locate(checked, finding.writtenAt ?? finding);
  const { severity, rule, message } = finding;
  return html`<tr><td class="${severity}">${severity}</td>
<td>${fileName(file.path)}:${range.start.line + 1}</td><td class="prose">${prose(message)} <code>${rule}</code></td></tr>\n`;
}

/** A setting of a check that the file changes. */
export interface ChangedThreshold {
  readonly check: string;
  readonly setting: string;
  readonly value: string;
  /** Undefined if the check has no such setting. */
  readonly default: string | undefined;
  /** Empty if none is given; the default then applies. */
  readonly reason: string;
}

export function changedThresholds({ checks }: EngineConfiguration): ChangedThreshold[] {
  return Object.entries(checks ?? {}).flatMap(([check, own]) =>
    Object.entries(own).flatMap(([setting, value]) => {
      if (setting === 'reason' || !value) return [];
      const usual = checkNamed(check)?.settings?.[setting]?.value;
      return [{ check, setting, value: writtenText(value), default: usual, reason: writtenText(own.reason) }];
    }),
  );
}

function thresholdRow({ check, setting, value, default: usual, reason }: ChangedThreshold): Html {
  const before = usual === undefined ? 'setting does not exist' : `default ${usual}`;
  return html`<tr><td><code>${check}</code></td><td>${setting}: ${value}; ${before}</td>
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
