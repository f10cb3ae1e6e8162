import type { SourceFile } from '../source/source-file.ts';
import type { Finding } from './finding.ts';
import type { Accepted, Verdict } from './run.ts';

/** A comment `# accept CHECK-ID: reason`: the finding on the next line that is no comment is known and wanted. */
export interface Acceptance {
  readonly rule: string;
  readonly reason: string;
  /** The line, from 0, whose findings it speaks of. */
  readonly line: number;
  readonly file: string;
  readonly start: number;
  readonly end: number;
}

const COMMENT = /^[ ]*(# accept[ ]+([\w-]+)[ ]*:?[ ]*(.*?))[ \r]*$/gm;

export function readAcceptances(file: SourceFile): Acceptance[] {
  return [...file.text.matchAll(COMMENT)].map((match) => {
    const start = match.index + match[0].indexOf('#');
    let line = file.lines.position(start).line + 1;
    while (/^\s*#/.test(file.lines.line(line))) line++;
    return {
      rule: match[2]!,
      reason: match[3]!,
      line,
      file: file.path,
      start,
      end: start + match[1]!.length,
    };
  });
}

/** These say that the text can't be read; what can't be read can't be accepted. */
const NEVER_ACCEPTED = new Set(['syntax-error', 'tab-indentation', 'duplicate-key']);

/** Takes out the findings that comments accept; a comment without a reason, or without a finding, becomes one. */
export function applyAcceptances(
  findings: readonly Finding[],
  acceptances: readonly Acceptance[],
  file: SourceFile,
): Verdict {
  const accepted: Accepted[] = [];
  const used = new Set<Acceptance>();
  const left = findings.filter((finding) => {
    const line = file.lines.position(finding.start).line;
    const match = acceptances.find((one) => one.rule === finding.rule && one.line === line);
    if (!match || NEVER_ACCEPTED.has(finding.rule)) return true;
    used.add(match);
    if (match.reason === '') return true;
    accepted.push({ finding, reason: match.reason });
    return false;
  });
  const faults = acceptances.flatMap((one) => acceptanceFault(one, used.has(one)) ?? []);
  return { findings: [...left, ...faults], accepted };
}

function acceptanceFault(acceptance: Acceptance, used: boolean): Finding | undefined {
  const { file, start, end, rule, reason } = acceptance;
  const about = { file, start, end, path: '', related: [] };
  if (!used) {
    const removal = {
      title: 'Remove the comment',
      safety: 'safe' as const,
      edits: [{ file, start, end, text: '' }],
    };
    return {
      ...about,
      rule: 'acceptance-without-finding',
      severity: 'warning',
      message: `The line below has no finding \`${rule}\` to accept.`,
      fixes: [removal],
    };
  }
  if (reason !== '') return undefined;
  return {
    ...about,
    rule: 'acceptance-without-reason',
    severity: 'warning',
    message: `Say why \`${rule}\` is accepted: \`# accept ${rule}: REASON\`. Until then the finding stands.`,
    fixes: [],
  };
}
