import { readdirSync, readFileSync } from 'node:fs';
import { type Analysis, analyse, analyseBriefly } from '../../shared/analysis.ts';
import type { Finding, FindingFix } from '../../shared/checks/finding.ts';
import { allChecks } from '../../shared/checks/registry.ts';
import { createProject, type Project } from '../../shared/configuration/project.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';

/**
 * A fixture is YAML as a user would write it, with the expected finding under its line:
 *
 *     #== what this case shows
 *     based_on: ./complete.engine.yaml
 *     fuel: { injectors: { static_flow: 190 cc/min } }
 *     #                                 ^^^^^^^^^^ error injector-duty-over-100: …needs 112 %
 *     #-- fix: Title of a quick fix that must be chosen
 *     (the text of the case after the fix)
 *     #-- safe fix: Title of a quick fix that may be applied automatically
 *     (the text of the case after the fix)
 *     #-- no fix
 *
 * `#== ` begins a case, `#-- NAME.engine.yaml` another file of it, and `#-- fix: TITLE` the text after a fix;
 * `#-- no fix` means that the findings have no fix. A marker that begins in the first column is written `#^^^`, and
 * a marker of only that column `# error`. `…` in a message stands for any text. Cases may be based on the complete,
 * fault-free installation in `tests/fixtures`.
 */
export interface Case {
  readonly title: string;
  /** All its parts, in the order of the text. */
  readonly parts: readonly Part[];
  readonly files: ReadonlyMap<string, string>;
  readonly expected: readonly Expected[];
}

/** A part of a case; its text in the file is `heading`, `text` and `blanks` joined. */
export interface Part {
  readonly kind: 'title' | 'file' | 'fix' | 'no fix' | 'blank';
  /** The title of the case or fix, or the name of the file. */
  readonly name: string;
  /** One line; empty before the first file. */
  readonly heading: string;
  readonly text: string;
  readonly blanks: string;
}

export interface Expected {
  readonly line: number;
  readonly start: number;
  readonly end: number;
  readonly severity: string;
  readonly rule: string;
  readonly message: string | undefined;
}

/** The installations on which cases may be based. */
const SHARED = [
  'complete.engine.yaml',
  'complete.controller.yaml',
  'wired.engine.yaml',
  'wired.controller.yaml',
  'standby.controller.yaml',
];

const FOLDER = new URL('../fixtures/', import.meta.url);
/** The folder of the files of a fixture; it does not exist on disk. */
const PLACE = '/installation';
const MAIN = 'case.engine.yaml';

export function fixtureNames(folder: string): string[] {
  return readdirSync(new URL(`${folder}/`, FOLDER)).sort();
}

export const readFixture = (path: string): Case[] => readCases(readFileSync(new URL(path, FOLDER), 'utf8'));

export function readCases(text: string): Case[] {
  return text.split(/^#== /m).slice(1).map(readCase);
}

/** The inverse of `readCases`, for one case. */
export const writtenCase = (parts: readonly Part[]): string =>
  parts.map(({ heading, text, blanks }) => heading + text + blanks).join('');

function readCase(written: string): Case {
  const [title] = /^.*\n?/.exec(written)!;
  const body = written.slice(title.length).split(/^(?=#-- )/m);
  const parts = [`#== ${title}`, ...body].map(readPart);
  const files = parts
    .filter(({ kind }) => kind === 'file')
    .map(({ name, text }) => [name, readMarkers(`${text}\n`)] as const);
  return {
    title: title.trim(),
    parts,
    files: new Map(files.map(([name, { text }]) => [name, text])),
    expected: files[0]?.[1].expected ?? [],
  };
}

function readPart(written: string): Part {
  const heading = /^#(?:==|--) .*\n?/.exec(written)?.[0] ?? '';
  const text = written.slice(heading.length).trimEnd();
  const name = heading.slice('#-- '.length).trim();
  const part = { name, heading, text, blanks: written.slice(heading.length + text.length) };
  if (heading.startsWith('#== ')) return { ...part, kind: 'title' };
  if (name === 'no fix') return { ...part, kind: 'no fix' };
  const fix = /^(?:safe )?fix: (.*)/.exec(name);
  if (fix) return { ...part, kind: 'fix', name: fix[1]! };
  // Blank lines between the title and the first heading are not a file.
  if (heading === '') return { ...part, kind: text === '' ? 'blank' : 'file', name: MAIN };
  return { ...part, kind: 'file' };
}

/** The first line of a fix in a fixture; the text after the fix follows. */
export const fixHeading = ({ title, safety }: FindingFix): string =>
  `#-- ${safety === 'safe' ? 'safe ' : ''}fix: ${title}\n`;

const MARKER = /^#(?:( *)(\^+))? (error|warning|information|hint) ([\w-]+)(?:: (.*))?$/;

/** The finding that a marker expects on the line above it, which is `line`; undefined if this is not a marker. */
export function readMarker(text: string, line: number): Expected | undefined {
  const marker = MARKER.exec(text);
  if (!marker) return undefined;
  const [, gap = '', carets = '', severity, rule, message] = marker;
  const start = gap === '' ? 0 : gap.length + 1;
  return { line, start, end: gap.length + 1 + carets.length, severity: severity!, rule: rule!, message };
}

/** The marker for a finding, to be written below its line. */
export function markerLine({ start, end, severity, rule, message }: Expected): string {
  const width = start === 0 ? end - 1 : end - start;
  if (start === 1 || width < (start === 0 ? 0 : 1))
    throw new Error(`No marker can say ${rule} from column ${start + 1} to ${end + 1}: indent the text.`);
  const place = ' '.repeat(Math.max(0, start - 1)) + '^'.repeat(width);
  return `#${place} ${severity} ${rule}${message === undefined ? '' : `: ${message}`}`;
}

function readMarkers(body: string): { text: string; expected: Expected[] } {
  const kept: string[] = [];
  const expected: Expected[] = [];
  for (const line of body.split('\n')) {
    const marker = readMarker(line, kept.length - 1);
    if (marker) expected.push(marker);
    else kept.push(line);
  }
  return { text: kept.join('\n'), expected };
}

/** A project with the files of a case and the complete installation of the fixtures. */
export function projectOf(files: ReadonlyMap<string, string>): Project {
  return createProject((path) => {
    const name = path.startsWith(`${PLACE}/`) ? path.slice(PLACE.length + 1) : '';
    const own = files.get(name);
    if (own !== undefined) return own;
    return SHARED.includes(name) ? readFileSync(new URL(name, FOLDER), 'utf8') : undefined;
  });
}

/** Analyses the first file of a case. If only checks that need no bounds are asked for, no bounds are searched. */
export function analyseCase(files: ReadonlyMap<string, string>, rules?: readonly string[]): Analysis {
  const [name] = files.keys();
  const isBrief = rules !== undefined && !rules.some((rule) => SEARCHING.has(rule) || OF_ALL.has(rule));
  return (isBrief ? analyseBriefly : analyse)(projectOf(files), `${PLACE}/${name}`)!;
}

/** Checks of what other checks find. */
const OF_ALL: ReadonlySet<string> = new Set(['acceptance-without-finding']);

/** The checks that search bounds. */
const SEARCHING: ReadonlySet<string> = new Set(
  allChecks.filter(({ searches }) => searches).map(({ id }) => id),
);

/** The checks that a case of a fixture concerns. */
export const rulesOf = (rule: string, { expected }: Case): string[] => [
  rule,
  ...expected.map((one) => one.rule),
];

/** A finding in the form of a marker, so that a failing test shows what to write. */
export function asExpected(analysis: Analysis, finding: Finding): Expected {
  const start = analysis.file.lines.position(finding.start);
  const end = analysis.file.lines.position(finding.end);
  return {
    line: start.line,
    start: start.character,
    end: end.line === start.line ? end.character : analysis.file.lines.line(start.line).length,
    severity: finding.severity,
    rule: finding.rule,
    message: finding.message,
  };
}

export function messageMatches(pattern: string | undefined, message: string): boolean {
  if (pattern === undefined) return true;
  const parts = pattern.split('…').map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'));
  return new RegExp(`^${parts.join('.*')}$`, 's').test(message);
}

export function applyFix(analysis: Analysis, fix: Finding['fixes'][number]): string {
  return fixedText(analysis.file, fix);
}

/** The files of a case after a fix, which may also edit the base file or the controller file. */
export function filesAfter(files: Case['files'], analysis: Analysis, fix: FindingFix): Case['files'] {
  const texts = analysis.files
    .filter(({ path }) => fix.edits.some(({ file }) => file === path))
    .map((file) => [file.path.slice(PLACE.length + 1), fixedText(file, fix)] as const);
  return new Map([...files, ...texts]);
}

function fixedText({ path, text }: Pick<SourceFile, 'path' | 'text'>, fix: FindingFix): string {
  const edits = fix.edits.filter(({ file }) => file === path).sort((a, b) => b.start - a.start);
  return edits.reduce(
    (kept, { start, end, text: put }) => kept.slice(0, start) + put + kept.slice(end),
    text,
  );
}
