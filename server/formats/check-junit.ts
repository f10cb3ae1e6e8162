import type { Finding } from '../../shared/checks/finding.ts';
import { type CheckedFile, type CheckReport, fails, locate } from './check-report.ts';
import type { Format } from './format.ts';
import { printable } from './layout.ts';

/**
 * JUnit XML, which most build servers read. There is no standard for it; this keeps to what the two schemas
 * in use have in common. A file is a suite and each finding a case, which fails where the run fails for it;
 * a file without findings has one case, which passes. The time is nil throughout: a report is the same for
 * the same files.
 */
export const checkJunit: Format<CheckReport> = {
  name: 'junit',
  write(report) {
    const { files, problems = [] } = report;
    const suites = files.map((file, id) => fileSuite(report, file, id));
    if (problems.length > 0) suites.push(problemSuite(problems, files.length));
    return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n${suites.join('')}</testsuites>\n`;
  },
};

interface Suite {
  readonly name: string;
  readonly id: number;
  readonly cases: readonly Case[];
  /** What a reader may want to know beside the cases. */
  readonly remarks: readonly string[];
}

interface Case {
  readonly name: string;
  readonly failure?: Failure;
}

interface Failure {
  readonly element: 'failure' | 'error';
  readonly type: string;
  readonly message: string;
  readonly text: string;
}

function fileSuite(report: CheckReport, checked: CheckedFile, id: number): string {
  const { findings, accepted } = checked.analysis;
  const names = new Map<string, number>();
  const cases = findings.map((finding): Case => {
    const name = distinct(`${finding.rule} at ${placeText(checked, finding)}`, names);
    if (!fails(report, finding)) return { name };
    const { severity, message } = finding;
    return {
      name,
      failure: { element: 'failure', type: severity, message, text: details(checked, finding) },
    };
  });
  const remarks = [
    ...findings.filter((finding) => !fails(report, finding)).map((finding) => details(checked, finding)),
    ...accepted.map(({ finding, reason }) => `${details(checked, finding)}\naccepted: ${reason}`),
    ...(checked.known ?? []).map((finding) => `${details(checked, finding)}\nknown to the baseline`),
  ];
  return suiteText({
    name: checked.name,
    id,
    cases: cases.length > 0 ? cases : [{ name: 'no findings' }],
    remarks,
  });
}

/** Build servers take cases of one name for the same case, so what is found twice at a place is counted. */
function distinct(name: string, names: Map<string, number>): string {
  const count = (names.get(name) ?? 0) + 1;
  names.set(name, count);
  return count === 1 ? name : `${name} (${count})`;
}

function problemSuite(problems: readonly string[], id: number): string {
  const cases = problems.map((message, i): Case => {
    return {
      name: `problem ${i + 1}`,
      failure: { element: 'error', type: 'problem', message, text: message },
    };
  });
  return suiteText({ name: 'not checked', id, cases, remarks: [] });
}

function placeText(checked: CheckedFile, finding: Finding): string {
  const { name, range } = locate(checked, finding);
  return `${name}:${range.start.line + 1}:${range.start.character + 1}`;
}

function details(checked: CheckedFile, finding: Finding): string {
  const head = `${placeText(checked, finding)} ${finding.severity} ${finding.rule}`;
  return [head, finding.message, ...finding.fixes.map(({ title }) => `fix: ${title}`)].join('\n');
}

/**
 * A schema in use asks for the time at which a suite began; no clock is read, so it is the beginning of
 * time.
 */
const NO_TIME = '1970-01-01T00:00:00';

function suiteText({ name, id, cases, remarks }: Suite): string {
  const count = (element: Failure['element']) =>
    cases.filter(({ failure }) => failure?.element === element).length;
  const attributes = attributesText({
    name,
    package: 'enginewright',
    id,
    hostname: 'localhost',
    timestamp: NO_TIME,
    tests: cases.length,
    failures: count('failure'),
    errors: count('error'),
    time: 0,
  });
  const rows = cases.map((one) => caseText(name, one)).join('');
  const properties = '<properties><property name="tool" value="enginewright"/></properties>';
  const out = `<system-out>${escaped(remarks.join('\n\n'))}</system-out>`;
  return `<testsuite ${attributes}>\n${properties}\n${rows}${out}\n<system-err/>\n</testsuite>\n`;
}

function caseText(suite: string, { name, failure }: Case): string {
  const attributes = attributesText({ name, classname: suite, time: 0 });
  if (!failure) return `<testcase ${attributes}/>\n`;
  const { element, type, message, text } = failure;
  const why = attributesText({ message, type });
  return `<testcase ${attributes}><${element} ${why}>${escaped(text)}</${element}></testcase>\n`;
}

function attributesText(attributes: Readonly<Record<string, string | number>>): string {
  return Object.entries(attributes)
    .map(([name, value]) => `${name}="${escaped(String(value)).replaceAll('\n', '&#10;')}"`)
    .join(' ');
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
};

/** Text as XML 1.0 may hold it: what it forbids even as a reference, and half of a character, is replaced. */
function escaped(text: string): string {
  const lines = text.split('\n').map(printable).join('\n');
  return lines
    .replace(/[\p{Surrogate}\uFFFE\uFFFF]/gu, '\uFFFD')
    .replace(/[&<>"]/g, (mark) => ENTITIES[mark]!);
}
