import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';
import { Block } from '../source/blocks.ts';
import { offsetsOf, type SourceFile } from '../source/source-file.ts';
import type { Chunk } from '../source/tree.ts';
import type { Check } from './check.ts';
import { type Accepted, type Finding, linkTo, type Place, type Verdict } from './finding.ts';

/** A comment `# accept CHECK-ID: reason`, which accepts a finding on the next line that is not a comment. */
export interface Acceptance {
  readonly rule: string;
  readonly reason: string;
  /** The line, from 0, whose findings it accepts. */
  readonly line: number;
  readonly file: string;
  readonly start: number;
  readonly end: number;
  /** The whole of the comment's own line. */
  readonly lineStart: number;
  readonly nextLine: number;
}

/**
 * Trailing spaces are removed afterwards: a pattern that removed them would try each space inside the reason as the
 * first of the trailing ones.
 */
const COMMENT = /^[ ]*(# accept[ ]+([\w-]+)[ ]*:?[ ]*(.*))/gm;

interface Comment {
  readonly chunk: Chunk;
  readonly match: RegExpExecArray;
}

/** The comments that accept something in a block of a text. The result is reused after an edit elsewhere. */
const commentsIn: (block: Block) => readonly Comment[] = memo(({ parts }) => {
  const found: Comment[] = [];
  for (const part of parts) {
    if (part instanceof Block) for (const one of commentsIn(part)) found.push(one);
    // Most chunks contain none, and this test is a hundred times faster.
    else if (part.parsedText.includes('# accept'))
      for (const match of part.parsedText.matchAll(COMMENT)) found.push({ chunk: part, match });
  }
  return found;
});

function readAcceptances(file: SourceFile): Acceptance[] {
  const found: Acceptance[] = [];
  let below: { readonly own: number; readonly line: number } | undefined;
  // From the end of the file, so that the line below a run of comments is found once.
  for (const { chunk, match } of [...commentsIn(file.chunks)].reverse()) {
    const lineStart = file.chunks.get(chunk)! + match.index;
    const start = lineStart + match[0].indexOf('#');
    const own = file.lines.position(start).line;
    let line = own + 1;
    while (line !== below?.own && /^\s*#/.test(file.lines.line(line))) line++;
    if (line === below?.own) line = below.line;
    below = { own, line };
    found.push({
      rule: match[2]!,
      reason: match[3]!.trimEnd(),
      line,
      file: file.path,
      start,
      end: start + match[1]!.trimEnd().length,
      lineStart,
      nextLine: file.lines.starts[own + 1] ?? file.chunks.length,
    });
  }
  return found.reverse();
}

/** What cannot be read cannot be accepted, and an acceptance cannot be accepted by another. */
const NEVER_ACCEPTED = new Set([
  'syntax-error',
  'merge-conflict',
  'text-not-utf-8',
  'tab-indentation',
  'duplicate-key',
  'acceptance-without-finding',
  'acceptance-without-reason',
]);

export function mayBeAccepted(rule: string): boolean {
  return !NEVER_ACCEPTED.has(rule);
}

/**
 * Removes the findings that comments accept; a comment without a reason, or without a finding, becomes a finding. A
 * finding in another file can be accepted there, or where a file on the path to that file names the next one: a base
 * file cannot accept a finding that an overlay causes in it. The comments of each file are checked when that file is
 * analysed. A comment for a check that has not run yet may still be needed.
 */
export function applyAcceptances(
  findings: readonly Finding[],
  subject: SourceFile,
  files: readonly SourceFile[],
  notRun: ReadonlySet<string>,
): Verdict {
  const acceptances = files.flatMap(readAcceptances);
  if (acceptances.length === 0) return { findings, accepted: [] };
  const lines = new Map(files.map((file) => [file.path, file.lines]));
  const byPlace = groupedBy(acceptances, ({ rule, line, file }) => `${rule}\n${line}\n${file}`);
  const accepted: Accepted[] = [];
  const used = new Set<Acceptance>();
  const left = findings.filter((finding) => {
    if (!mayBeAccepted(finding.rule)) return true;
    const matches = placesOf(finding, files).flatMap(({ file, start }) => {
      const line = lines.get(file)?.position(start).line;
      const here = byPlace.get(`${finding.rule}\n${line}\n${file}`) ?? [];
      return here.find(({ reason }) => reason !== '') ?? here[0] ?? [];
    });
    for (const match of matches) used.add(match);
    const reason = matches.map((match) => match.reason).find((text) => text !== '');
    if (reason === undefined) return true;
    accepted.push({ finding, reason });
    return false;
  });
  const own = acceptances.filter(
    (one) => one.file === subject.path && (used.has(one) || !notRun.has(one.rule)),
  );
  const faults = own.flatMap((one) => acceptanceFault(one, used.has(one)) ?? []);
  return { findings: [...left, ...faults], accepted };
}

/**
 * The place of a finding, where it is written, and the places where the files on the way there (those before it in
 * `files`) name the next file.
 */
function placesOf(finding: Finding, files: readonly SourceFile[]): Pick<Place, 'file' | 'start'>[] {
  const { writtenAt } = finding;
  if (!writtenAt) return [finding];
  const onTheWay = files.slice(
    0,
    files.findIndex(({ path }) => path === writtenAt.file),
  );
  const links = onTheWay.map((file) => {
    const link = linkTo(writtenAt.file, file);
    return { file: file.path, start: offsetsOf(file, link).start };
  });
  return [finding, writtenAt, ...links];
}

/** `applyAcceptances` makes the findings of these two checks, because only it knows what the other checks found. */
const afterAll = { searches: false, find: () => [] };

export const acceptanceWithoutFinding: Check = {
  ...afterAll,
  id: 'acceptance-without-finding',
  severity: 'warning',
  title: 'Accepted finding does not exist',
  page: {
    catches: 'A comment `# accept CHECK-ID: reason` above a line that has no such finding.',
    why:
      'The value was fixed, or the comment is above the wrong line or names the wrong check. If the comment stays, it hides the ' +
      'same finding when it comes back for another reason.',
    example: '# accept injector-duty-high: flow bench report 12\nbore: 76 mm',
    remedy: 'Remove the comment, or move it to the line directly above the finding that it accepts.',
    basis: 'Common practice, no source.',
  },
};

export const acceptanceWithoutReason: Check = {
  ...afterAll,
  id: 'acceptance-without-reason',
  severity: 'warning',
  title: 'Acceptance without a reason',
  page: {
    catches: 'A comment `# accept CHECK-ID` without a reason.',
    why:
      'Without a reason, nobody can tell later whether the finding was examined or merely hidden. It is not accepted until the ' +
      'comment has a reason.',
    example: '# accept suspicious-magnitude\nidle_speed: 4000 rpm',
    remedy:
      'Add the reason after a colon: `# accept suspicious-magnitude: two-stroke with a centrifugal clutch`.',
    basis: 'Common practice, no source.',
  },
};

function acceptanceFault(acceptance: Acceptance, used: boolean): Finding | undefined {
  const { file, start, end, rule, reason } = acceptance;
  const about = { file, start, end, path: '', related: [] };
  if (!used) {
    const message = mayBeAccepted(rule)
      ? `The next line has no \`${rule}\` finding to accept.`
      : `\`${rule}\` cannot be accepted; fix it.`;
    const { id, severity } = acceptanceWithoutFinding;
    return { ...about, rule: id, severity, message, fixes: [removal(acceptance)] };
  }
  if (reason !== '') return undefined;
  const message = `Acceptance of \`${rule}\` has no reason, so the finding remains; write \`# accept ${rule}: REASON\`.`;
  const { id, severity } = acceptanceWithoutReason;
  return { ...about, rule: id, severity, message, fixes: [] };
}

/** Removes the whole line of the comment. */
function removal({ file, lineStart, nextLine }: Acceptance): Finding['fixes'][number] {
  return {
    title: 'Remove the comment',
    // The comment contains somebody's reason, and the finding may come back with the next keystroke.
    safety: 'choice',
    edits: [{ file, start: lineStart, end: nextLine, text: '' }],
  };
}
