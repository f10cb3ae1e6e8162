import { capped } from '../../shared/checks/capped.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { plainText } from '../plain-text.ts';
import { type CheckedFile, type CheckReport, fails, locate } from './check-report.ts';
import type { Format } from './format.ts';
import { type Case, distinct, junitText, type Suite } from './junit-xml.ts';

/**
 * JUnit XML: a file is a suite and a finding a case, which fails if its severity fails the run; a file without
 * findings has one case, which passes.
 */
export const checkJunit: Format<CheckReport> = {
  write(report) {
    const { files, problems = [] } = report;
    const suites = files.map((file) => fileSuite(report, file));
    return junitText(problems.length > 0 ? [...suites, problemSuite(problems)] : suites);
  },
};

function fileSuite(report: CheckReport, checked: CheckedFile): Suite {
  const findings = capped(checked.analysis.findings);
  const names = new Map<string, number>();
  const cases = findings.map((finding): Case => {
    const name = distinct(`${finding.rule} at ${placeText(checked, finding)}`, names);
    if (!fails(report, finding)) return { name };
    const { severity, message } = finding;
    return {
      name,
      failure: {
        element: 'failure',
        type: severity,
        message: plainText(message),
        text: details(checked, finding),
      },
    };
  });
  const remarks = [
    ...findings.filter((finding) => !fails(report, finding)).map((finding) => details(checked, finding)),
    ...checked.analysis.accepted.map(
      ({ finding, reason }) => `${details(checked, finding)}\naccepted: ${reason}`,
    ),
    ...capped(checked.known ?? []).map((finding) => `${details(checked, finding)}\nlisted in the baseline`),
  ];
  return {
    name: checked.name,
    cases: cases.length > 0 ? cases : [{ name: 'no findings' }],
    remarks,
  };
}

function problemSuite(problems: readonly string[]): Suite {
  const cases = problems.map((message, i): Case => {
    return {
      name: `problem ${i + 1}`,
      failure: { element: 'error', type: 'problem', message, text: message },
    };
  });
  return { name: 'not checked', cases, remarks: [] };
}

function placeText(checked: CheckedFile, finding: Finding): string {
  const { name, range } = locate(checked, finding);
  return `${name}:${range.start.line + 1}:${range.start.character + 1}`;
}

export function details(checked: CheckedFile, finding: Finding): string {
  const head = `${placeText(checked, finding)} ${finding.severity} ${finding.rule}`;
  return plainText([head, finding.message, ...finding.fixes.map(({ title }) => `fix: ${title}`)].join('\n'));
}
