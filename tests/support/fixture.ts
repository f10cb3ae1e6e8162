import { readdirSync, readFileSync } from 'node:fs';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Finding, FindingFix } from '../../shared/checks/finding.ts';
import { createProject, type Project } from '../../shared/configuration/project.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';

/**
 * A fixture is what a user would write, with what must come out under the line that it speaks of:
 *
 *     #== what this case shows
 *     based_on: ./complete.engine.yaml
 *     fuel: { injectors: { static_flow: 190 cc/min } }
 *     #                                 ^^^^^^^^^^ error injector-duty-over-100: …needs 112 %
 *     #-- fix: Title of a quick fix that someone must choose
 *     (the text that the fix makes of the case)
 *     #-- safe fix: Title of a quick fix that may be made unasked
 *     (the text that the fix makes of the case)
 *     #-- no fix
 *
 * `#== ` opens a case, `#-- NAME.engine.yaml` another file of it, `#-- fix: TITLE` the text after a fix; `#-- no fix`
 * says that what is found has none. A marker that starts in the first column is written `#^^^`, one of that column alone
 * `# error`. `…` in a message stands for any text. Cases may be based on the complete, faultless installation of
 * `tests/fixtures`.
 */
export interface Case {
  readonly title: string;
  readonly files: ReadonlyMap<string, string>;
  readonly expected: readonly Expected[];
  /** By title, what the fix of that title must be and give. */
  readonly fixed: ReadonlyMap<string, Fixed>;
  /** Whether no fix may be offered for what is expected. */
  readonly hasNoFix: boolean;
}

export interface Fixed {
  readonly text: string;
  readonly safety: FindingFix['safety'];
}

export interface Expected {
  readonly line: number;
  readonly start: number;
  readonly end: number;
  readonly severity: string;
  readonly rule: string;
  readonly message: string | undefined;
}

const FOLDER = new URL('../fixtures/', import.meta.url);
/** Where the files of a fixture stand: any folder that no machine has. */
const PLACE = '/installation';
const MAIN = 'case.engine.yaml';

export function fixtureNames(folder: string): string[] {
  return readdirSync(new URL(`${folder}/`, FOLDER)).sort();
}

export function readFixture(path: string): Case[] {
  const text = readFileSync(new URL(path, FOLDER), 'utf8');
  return text.split(/^#== /m).slice(1).map(readCase);
}

function readCase(text: string): Case {
  const [title, ...lines] = text.split('\n');
  const files = new Map<string, string>();
  const fixed = new Map<string, Fixed>();
  let expected: Expected[] = [];
  let hasNoFix = false;
  for (const part of lines.join('\n').split(/^(?=#-- )/m)) {
    if (part.trimEnd() === '#-- no fix') {
      hasNoFix = true;
      continue;
    }
    const heading = /^#-- (?:(safe )?(fix: ))?(.*)\n/.exec(part);
    // Blank lines before the next heading part the cases and belong to none.
    const body = `${(heading ? part.slice(heading[0].length) : part).trimEnd()}\n`;
    const [, safe, isFix, name = MAIN] = heading ?? [];
    if (isFix) {
      fixed.set(name, { text: body, safety: safe ? 'safe' : 'choice' });
      continue;
    }
    if (heading && body.trim() === '' && files.size === 0) continue;
    if (!heading && body.trim() === '') continue;
    const read = readMarkers(body);
    if (files.size === 0) expected = read.expected;
    files.set(name, read.text);
  }
  return { title: title!.trim(), files, expected, fixed, hasNoFix };
}

const MARKER = /^#(?:( *)(\^+))? (error|warning|information|hint) ([\w-]+)(?:: (.*))?$/;

function readMarkers(body: string): { text: string; expected: Expected[] } {
  const kept: string[] = [];
  const expected: Expected[] = [];
  for (const line of body.split('\n')) {
    const marker = MARKER.exec(line);
    if (!marker) {
      kept.push(line);
      continue;
    }
    const [, gap, carets, severity, rule, message] = marker;
    const start = gap ? gap.length + 1 : 0;
    const end = (gap ?? '').length + 1 + (carets ?? '').length;
    expected.push({ line: kept.length - 1, start, end, severity: severity!, rule: rule!, message });
  }
  return { text: kept.join('\n'), expected };
}

/** A project that holds the case's files beside the fixtures' complete installation. */
export function projectOf(files: ReadonlyMap<string, string>): Project {
  return createProject((path) => {
    const name = path.startsWith(`${PLACE}/`) ? path.slice(PLACE.length + 1) : '';
    const own = files.get(name);
    if (own !== undefined) return own;
    return ['complete.engine.yaml', 'complete.controller.yaml'].includes(name)
      ? readFileSync(new URL(name, FOLDER), 'utf8')
      : undefined;
  });
}

/** Analyses the first file of a case. */
export function analyseCase(files: ReadonlyMap<string, string>): Analysis {
  const [name] = files.keys();
  return analyse(projectOf(files), `${PLACE}/${name}`)!;
}

/** A finding as a marker would write it, so that a failing test shows what to write. */
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

/** The files of a case after a fix, which may write into the base or the controller file. */
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
