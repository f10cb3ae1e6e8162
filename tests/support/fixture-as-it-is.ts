import type { Analysis } from '../../shared/analysis.ts';
import type { Finding, FindingFix } from '../../shared/checks/finding.ts';
import {
  analyseCase,
  applyFix,
  asExpected,
  type Case,
  type Expected,
  fixHeading,
  markerLine,
  messageMatches,
  type Part,
  readCases,
  readMarker,
  rulesOf,
  writtenCase,
} from './fixture.ts';

/** The findings that a case concerns: those of its own check, and of every other check that it marks. */
export function findingsOf(analysis: Analysis, rule: string, { expected }: Case): Finding[] {
  const rules = new Set([rule, ...expected.map((one) => one.rule)]);
  return analysis.findings.filter((finding) => rules.has(finding.rule));
}

/** The fixture of a check, updated to the current findings and fixes. Correct parts stay as written. */
export function fixtureAsItIs(text: string, rule: string): string {
  const cases = readCases(text).map((one) =>
    caseAsItIs(one, rule, analyseCase(one.files, rulesOf(rule, one))),
  );
  const [head = ''] = text.split(/^(?=#== )/m, 1);
  return (head.startsWith('#== ') ? '' : head) + cases.join('');
}

/** A case, updated to the current markers, fixes and `no fix`; equal to its text if all are correct. */
export function caseAsItIs(one: Case, rule: string, analysis: Analysis): string {
  const findings = findingsOf(analysis, rule, one);
  const own = fixesOf(findings);
  const all = fixesOf(analysis.findings);
  const main = one.parts.find(({ kind }) => kind === 'file');
  const kept = one.parts.flatMap((part): Part[] => {
    const fix = part.kind === 'fix' ? all.get(part.name) : undefined;
    if (fix) return [fixPart(analysis, fix, part.blanks)];
    if (part === main) return [{ ...part, text: markedText(part.text, analysis, findings) }];
    const isGone = part.kind === 'fix' || (part.kind === 'no fix' && own.size > 0);
    return isGone ? [] : [part];
  });
  // A case need not list every fix. But if a listed one no longer exists, or `no fix` is wrong, all current fixes are
  // listed.
  const names = new Set(kept.map(({ name }) => name));
  const added =
    kept.length < one.parts.length ? [...own.values()].filter(({ title }) => !names.has(title)) : [];
  const written = writtenCase(one.parts);
  const asItIs = writtenCase([...kept, ...added.map((fix) => fixPart(analysis, fix, '\n'))]);
  return asItIs.trimEnd() + written.slice(written.trimEnd().length);
}

/** Fixes by title; the first one if several have the same title. */
function fixesOf(findings: readonly Finding[]): Map<string, FindingFix> {
  return new Map(findings.flatMap(({ fixes }) => fixes.map((fix) => [fix.title, fix] as const)).reverse());
}

function fixPart(analysis: Analysis, fix: FindingFix, blanks: string): Part {
  const fixed = applyFix(analysis, fix);
  const text = fixed.trimEnd();
  if (fixed !== `${text}\n`)
    throw new Error(`"${fix.title}" leaves blanks at the end, which no fixture can say.`);
  return { kind: 'fix', name: fix.title, heading: fixHeading(fix), text, blanks };
}

/** A file with a marker for each finding. Correct markers stay, even if abbreviated. */
function markedText(text: string, analysis: Analysis, findings: readonly Finding[]): string {
  const missing = findings.map((finding) => asExpected(analysis, finding));
  const wrong: Expected[] = [];
  const lines: string[][] = [];
  for (const line of text.split('\n')) {
    const marker = readMarker(line, lines.length - 1);
    const found = marker ? missing.findIndex((one) => isMarkedBy(one, marker)) : undefined;
    if (found === undefined) lines.push([line]);
    else if (found < 0) wrong.push(marker!);
    else if (missing.splice(found, 1)) lines.at(-1)!.push(line);
  }
  for (const one of missing.sort((a, b) => a.start - b.start)) {
    // If only the place or the severity has changed, keep the abbreviated message.
    const old = wrong.findIndex(
      ({ rule, message }) => rule === one.rule && messageMatches(message, one.message!),
    );
    const message = old < 0 ? one.message : wrong.splice(old, 1)[0]!.message;
    lines[one.line]!.push(markerLine({ ...one, message }));
  }
  return lines.flat().join('\n');
}

function isMarkedBy(one: Expected, marker: Expected): boolean {
  const { message, ...place } = marker;
  return (
    messageMatches(message, one.message!) &&
    (['line', 'start', 'end', 'severity', 'rule'] as const).every((key) => one[key] === place[key])
  );
}
