import { capped } from '../../shared/checks/capped.ts';
import type { Finding, Place } from '../../shared/checks/finding.ts';
import { plainText } from '../plain-text.ts';
import { type CheckedFile, type CheckReport, locate } from './check-report.ts';
import type { Format } from './format.ts';

/** For programs. The structure is documented; keys may be added, but none removed. */
export const checkJson: Format<CheckReport> = {
  write: ({ files }) => `${JSON.stringify({ files: files.map(fileOf) }, null, 2)}\n`,
};

function fileOf(checked: CheckedFile) {
  const { findings, accepted } = checked.analysis;
  return {
    path: checked.name,
    findings: capped(findings).map((finding) => ({
      ...findingOf(checked, finding),
      ...(finding.leftOut !== undefined && { leftOut: finding.leftOut }),
      fixes: finding.fixes.map((fix) => plainText(fix.title)),
      related: finding.related.map(({ message, ...place }) => {
        const { name, range } = locate(checked, place);
        return { path: name, range, message: plainText(message) };
      }),
    })),
    accepted: accepted.map(({ finding, reason }) => ({ ...findingOf(checked, finding), reason })),
  };
}

function findingOf(checked: CheckedFile, finding: Finding) {
  const { rule, severity, message, path } = finding;
  return { rule, severity, message: plainText(message), path, range: rangeOf(checked, finding) };
}

function rangeOf(checked: CheckedFile, place: Place) {
  return locate(checked, place).range;
}
