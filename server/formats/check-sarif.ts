import { capped } from '../../shared/checks/capped.ts';
import type { CheckedFile, CheckReport } from './check-report.ts';
import { fingerprints } from './fingerprint.ts';
import type { Format } from './format.ts';
import { findingResult, type SarifResult, sarifText } from './sarif-log.ts';

/**
 * SARIF 2.1.0 (OASIS, 2020): findings for code scanning, with the page of each check, related places and fixes.
 * Findings that are accepted or listed in the baseline are suppressed results.
 */
export const checkSarif: Format<CheckReport> = {
  write: ({ files, problems = [] }) => sarifText(files.flatMap(resultsOf), problems),
};

function resultsOf(checked: CheckedFile): SarifResult[] {
  const { known } = checked;
  const { findings, accepted } = checked.analysis;
  const settled = accepted.map(({ finding }) => finding);
  // Of equal findings, the baseline lists the first.
  const openPrint = fingerprints(checked, [...(known ?? []), ...findings]);
  const settledPrint = fingerprints(checked, settled);
  return [
    ...capped(findings).map((finding) => ({
      ...findingResult(checked, finding, openPrint(finding)),
      ...(known && { baselineState: 'new' }),
    })),
    ...capped(known ?? []).map((finding) => ({
      ...findingResult(checked, finding, openPrint(finding)),
      baselineState: 'unchanged',
      suppressions: [{ kind: 'external', justification: 'Listed in the baseline.' }],
    })),
    ...accepted.map(({ finding, reason }) => ({
      ...findingResult(checked, finding, settledPrint(finding)),
      suppressions: [{ kind: 'inSource', justification: reason }],
    })),
  ];
}
