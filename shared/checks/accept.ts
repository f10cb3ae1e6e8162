import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';
import { Block } from '../source/blocks.ts';
import { offsetsOf, type SourceFile } from '../source/source-file.ts';
import type { Chunk } from '../source/tree.ts';
import type { Check } from './check.ts';
import { type Accepted, type Finding, linkTo, type Place, type Verdict } from './finding.ts';

/** A comment `# accept CHECK-ID: reason`: the finding on the next line that is no comment is known and wanted. */
export interface Acceptance {
  readonly rule: string;
  readonly reason: string;
  /** The line, from 0, whose findings it speaks of. */
  readonly line: number;
  readonly file: string;
  readonly start: number;
  readonly end: number;
  /** The whole of the comment's own line. */
  readonly lineStart: number;
  readonly nextLine: number;
}

/** Blanks at the end are cut off afterwards: a pattern that did it would try each blank inside the reason as the last. */
const COMMENT = /^[ ]*(# accept[ ]+([\w-]+)[ ]*:?[ ]*(.*))/gm;

interface Comment {
  readonly chunk: Chunk;
  readonly match: RegExpExecArray;
}

/** The comments that accept something in a block of a text. It outlives an edit elsewhere. */
const commentsIn: (block: Block) => readonly Comment[] = memo(({ parts }) => {
  const found: Comment[] = [];
  for (const part of parts) {
    if (part instanceof Block) for (const one of commentsIn(part)) found.push(one);
    // Most accept nothing, and that is found out a hundred times faster.
    else if (part.parsedText.includes('# accept'))
      for (const match of part.parsedText.matchAll(COMMENT)) found.push({ chunk: part, match });
  }
  return found;
});

function readAcceptances(file: SourceFile): Acceptance[] {
  const found: Acceptance[] = [];
  let below: { readonly own: number; readonly line: number } | undefined;
  // From below, where it is known already what the comments under a comment stand above.
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

/** What can't be read can't be accepted, and a comment that accepts can't be accepted by another. */
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
 * Takes out the findings that comments accept; a comment without a reason, or without a finding, becomes one. What stands in
 * another file is accepted there, or where a file on the way to it names the next one: what an overlay brings about in its
 * base is nothing that the base could accept. Each file's own comments are judged when it is looked at itself.
 */
export function applyAcceptances(
  findings: readonly Finding[],
  subject: SourceFile,
  files: readonly SourceFile[],
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
  const own = acceptances.filter((one) => one.file === subject.path);
  const faults = own.flatMap((one) => acceptanceFault(one, used.has(one)) ?? []);
  return { findings: [...left, ...faults], accepted };
}

/** Where a finding is written, and where the files on the way there, those before it in `files`, name the next one. */
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
  return [writtenAt, ...links];
}

/** `applyAcceptances` finds what these two speak of: it alone knows what the other checks found. */
const afterAll = { find: () => [] };

export const acceptanceWithoutFinding: Check = {
  ...afterAll,
  id: 'acceptance-without-finding',
  severity: 'warning',
  title: 'A comment accepts what is not there',
  page: {
    catches: 'A comment `# accept CHECK-ID: reason` above a line that has no such finding.',
    why:
      'The value was mended, or the comment stands above another line or names another check. Left there, it would silence ' +
      'the same finding when it comes back for a worse reason.',
    example: '# accept injector-duty-high: flow bench report 12\nbore: 76 mm',
    remedy: 'Remove the comment, or move it to the line right above the finding that it means.',
    basis: 'Common practice, no source.',
  },
};

export const acceptanceWithoutReason: Check = {
  ...afterAll,
  id: 'acceptance-without-reason',
  severity: 'warning',
  title: 'A finding is accepted without a reason',
  page: {
    catches: 'A comment `# accept CHECK-ID` that does not say why.',
    why:
      'Who reads the file next year, the author included, cannot tell whether the case was examined or the warning was in ' +
      'the way. Until a reason stands there, the finding does too.',
    example: '# accept suspicious-magnitude\nidle_speed: 4000 rpm',
    remedy:
      'Write the reason behind a colon: `# accept suspicious-magnitude: two-stroke with a centrifugal clutch`.',
    basis: 'Common practice, no source.',
  },
};

function acceptanceFault(acceptance: Acceptance, used: boolean): Finding | undefined {
  const { file, start, end, rule, reason } = acceptance;
  const about = { file, start, end, path: '', related: [] };
  if (!used) {
    const message = mayBeAccepted(rule)
      ? `The line below has no finding \`${rule}\` to accept.`
      : `\`${rule}\` is never accepted: what it finds is to be mended.`;
    const { id, severity } = acceptanceWithoutFinding;
    return { ...about, rule: id, severity, message, fixes: [removal(acceptance)] };
  }
  if (reason !== '') return undefined;
  const message = `Say why \`${rule}\` is accepted: \`# accept ${rule}: REASON\`. Until then the finding stands.`;
  const { id, severity } = acceptanceWithoutReason;
  return { ...about, rule: id, severity, message, fixes: [] };
}

/** The comment goes with its line. */
function removal({ file, lineStart, nextLine }: Acceptance): Finding['fixes'][number] {
  return {
    title: 'Remove the comment',
    // It holds somebody's reason, and what it accepts may be back with the next keystroke.
    safety: 'choice',
    edits: [{ file, start: lineStart, end: nextLine, text: '' }],
  };
}
