import type { Finding } from '../../shared/checks/finding.ts';
import type { CheckedFile, CheckReport } from './check-report.ts';
import { fingerprintsOf } from './fingerprint.ts';
import type { Format } from './format.ts';
import { findingResult, type SarifResult, sarifText } from './sarif-log.ts';

/**
 * SARIF 2.1.0 (OASIS, 2020): findings for code scanning, with the page of each check, related places and
 * fixes. What a comment accepts or the baseline lets pass is there as a suppressed result.
 */
export const checkSarif: Format<CheckReport> = {
  write: ({ files, problems = [] }) => sarifText(files.flatMap(resultsOf), problems),
};

function resultsOf(checked: CheckedFile): SarifResult[] {
  const { findings, accepted } = checked.analysis;
  const { known } = checked;
  const results = (
    list: readonly Finding[],
    fingerprints: readonly string[],
    more: (finding: Finding, index: number) => object,
  ) =>
    list.map((finding, i) => ({ ...findingResult(checked, finding, fingerprints[i]!), ...more(finding, i) }));
  // Of findings alike, the baseline knows the first.
  const prints = fingerprintsOf(checked, [...(known ?? []), ...findings]);
  const knownCount = known?.length ?? 0;
  return [
    ...results(findings, prints.slice(knownCount), () => (known ? { baselineState: 'new' } : {})),
    ...results(known ?? [], prints, () => ({
      baselineState: 'unchanged',
      suppressions: [{ kind: 'external', justification: 'The baseline lets it pass.' }],
    })),
    ...results(
      accepted.map(({ finding }) => finding),
      fingerprintsOf(
        checked,
        accepted.map(({ finding }) => finding),
      ),
      (_, i) => ({ suppressions: [{ kind: 'inSource', justification: accepted[i]!.reason }] }),
    ),
  ];
}
