import { createHash } from 'node:crypto';
import { basename } from 'node:path';
import type { Finding } from '../../shared/checks/finding.ts';
import type { CheckedFile } from './check-report.ts';

/**
 * The identity of each finding across runs, in the order of the findings. Lines may move and messages may be reworded,
 * but rule, severity, key and the text at the place must be the same: a changed value that is still at fault is a new
 * finding. Equal findings are numbered.
 */
export function fingerprintsOf({ analysis }: CheckedFile, findings: readonly Finding[]): string[] {
  const counts = new Map<string, number>();
  return findings.map((finding) => {
    const { rule, severity, path } = finding;
    const place = finding.writtenAt ?? finding;
    const file = analysis.files.find((one) => one.path === place.file) ?? analysis.file;
    const written = file.text.slice(place.start, place.end).replaceAll('\r\n', '\n');
    const facts =
      finding.leftOut === undefined
        ? [rule, severity, path, basename(file.path), written]
        : // The number of further findings, and the place of the first, may change.
          [rule, severity, basename(file.path), 'more'];
    const hash = createHash('sha256').update(JSON.stringify(facts)).digest('hex').slice(0, 32);
    const count = (counts.get(hash) ?? 0) + 1;
    counts.set(hash, count);
    return `${hash}:${count}`;
  });
}

/** The fingerprints of the findings, and of the finding that ends a capped list. */
export function fingerprints(
  checked: CheckedFile,
  findings: readonly Finding[],
): (finding: Finding) => string {
  const prints = fingerprintsOf(checked, findings);
  const known = new Map(prints.map((print, i) => [findings[i]!, print]));
  const byKey = new Map(prints.map((print, i) => [keyOf(findings[i]!), print]));
  return (finding) =>
    known.get(finding) ?? byKey.get(keyOf(finding)) ?? fingerprintsOf(checked, [finding])[0]!;
}

/** Identifies a finding, whether or not others have been folded into it. */
const keyOf = ({ rule, file, start, message }: Finding): string => `${rule}\n${file}\n${start}\n${message}`;
