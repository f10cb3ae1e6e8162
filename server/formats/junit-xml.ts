import { printable } from './layout.ts';

/**
 * JUnit XML, which most build servers read. There is no standard for it; this is the common part of the two schemas
 * in use. All times are zero, so that the same files give the same report.
 */
export function junitText(suites: readonly Suite[]): string {
  const texts = suites.map(suiteText);
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n${texts.join('')}</testsuites>\n`;
}

export interface Suite {
  readonly name: string;
  readonly cases: readonly Case[];
  /** Further information for readers. */
  readonly remarks: readonly string[];
}

export interface Case {
  readonly name: string;
  readonly failure?: Failure;
}

interface Failure {
  readonly element: 'failure' | 'error';
  readonly type: string;
  readonly message: string;
  readonly text: string;
}

/** Build servers take cases of one name for the same case, so repeated names are numbered. */
export function distinct(name: string, names: Map<string, number>): string {
  const count = (names.get(name) ?? 0) + 1;
  names.set(name, count);
  return count === 1 ? name : `${name} (${count})`;
}

/**
 * A schema in use requires the start time of a suite; no clock is read, so it is the Unix epoch.
 */
const NO_TIME = '1970-01-01T00:00:00';

function suiteText({ name, cases, remarks }: Suite, id: number): string {
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

/** Text that is valid in XML 1.0: forbidden characters and lone surrogates are replaced. */
function escaped(text: string): string {
  const lines = text.split('\n').map(printable).join('\n');
  return lines
    .replace(/[\p{Surrogate}\uFFFE\uFFFF]/gu, '\uFFFD')
    .replace(/[&<>"]/g, (mark) => ENTITIES[mark]!);
}
