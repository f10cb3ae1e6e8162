import { capped } from '../../shared/checks/capped.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { plainText } from '../plain-text.ts';
import { type CheckedFile, type CheckReport, locate } from './check-report.ts';
import type { Format } from './format.ts';
import { annotationLine } from './github-command.ts';

/** Annotations for GitHub Actions, one per finding. Accepted and known findings are not annotated. */
export const checkGithub: Format<CheckReport> = {
  write({ files, problems = [] }) {
    const lines = [
      ...files.flatMap((file) =>
        capped(file.analysis.findings).map((finding) => findingAnnotation(file, finding)),
      ),
      ...problems.map((text) => annotationLine({ severity: 'error', title: 'not checked', text })),
    ];
    return lines.join('');
  },
};

/** `before` is put in front of the message. */
export function findingAnnotation(checked: CheckedFile, finding: Finding, before = ''): string {
  const related = finding.related.map((one) => {
    const other = locate(checked, one);
    return `\nsee ${other.name}:${other.range.start.line + 1}: ${one.message}`;
  });
  const { severity, rule, message } = finding;
  const text = plainText(before + [message, ...related].join(''));
  return annotationLine({ severity, title: rule, text, place: locate(checked, finding) });
}
