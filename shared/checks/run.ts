import { internList, memo, trackReads, verify } from '../memo.ts';
import { finished } from '../proof/search.ts';
import type { FurtherTargets } from '../proof/targets.ts';
import type { SourceFile } from '../source/source-file.ts';
import { REPLACEMENT_CHARACTER, sourceText } from '../source/tree.ts';
import { applyAcceptances } from './accept.ts';
import type { Check, Found, Pause, Subject } from './check.ts';
import { byPlace, type Finding, FindingMaker, underlined, type Verdict } from './finding.ts';
import { textNotUtf8 } from './form-text.ts';
import { allChecks } from './registry.ts';
import { changedParts } from './subject.ts';
import { type Thresholds, thresholdsOf } from './thresholds.ts';

/** What the checks found in a subject, and what they read. */
export interface Asked {
  readonly subject: Subject;
  /** A check that searches bounds may have none yet. */
  readonly answers: ReadonlyMap<Check, Answer>;
}

interface Answer {
  readonly thresholds: Thresholds;
  /** What the proof bounded for all checks, if this one searches. */
  readonly further: FurtherTargets;
  readonly found: readonly Found[];
  /** The parts of the subject that were read for it. */
  readonly reads: ReadonlySet<string>;
}

/** Findings of a subject, with what they were made from. */
export type Checked = Verdict & { readonly asked: Asked };

/**
 * Runs every check on the subject, then applies the `# accept` comments of the file. If nothing that a check read has
 * changed since the earlier run, its findings are reused. Checks that would have to search bounds are left out.
 */
export function runChecks(subject: Subject, files: readonly SourceFile[], earlier?: Asked): Checked {
  return checkedWith({ subject, answers: answersOf(subject, earlier) }, files);
}

/** Runs the checks that were left out. It can pause, and the findings do not depend on that. */
export function* runSearches(
  { subject, answers }: Asked,
  files: readonly SourceFile[],
): Generator<Pause, Checked> {
  const further = furtherTargetsOf(subject);
  const all = new Map<Check, Answer>();
  for (const check of allChecks) {
    const thresholds = thresholdsOf(check, subject);
    all.set(check, answers.get(check) ?? (yield* askInSteps(check, subject, thresholds, further)));
  }
  return checkedWith({ subject, answers: all }, files);
}

/** The checks that were left out. */
export const leftOut = ({ answers }: Asked): readonly Check[] =>
  allChecks.filter((check) => !answers.has(check));

function checkedWith(asked: Asked, files: readonly SourceFile[]): Checked {
  const { subject, answers } = asked;
  const maker = new FindingMaker(subject.file, files);
  const findings: Finding[] = [];
  for (const [check, answer] of answers) {
    // All findings are shown in the subject's own file.
    const found = new Map<string, Finding>();
    for (const one of answer.found) {
      if (check !== textNotUtf8 && isSpoilt(one)) continue;
      const finding = maker.make(check, one);
      // Information is reported where it is written, not again in every overlay.
      if (finding.writtenAt && isMinor(finding)) continue;
      // Map sets that share a value share its findings; report each once.
      found.set(`${finding.file}\n${finding.start}\n${finding.message}`, finding);
    }
    for (const finding of found.values()) findings.push(finding);
  }
  const notRun = new Set(leftOut(asked).map(({ id }) => id));
  const verdict = applyAcceptances(findings, subject.file, files, notRun);
  return { ...verdict, findings: [...verdict.findings].sort(byPlace), asked };
}

/** Whether a finding is about text that cannot be read because of its encoding, which has a finding of its own. */
const isSpoilt = ({ at }: Found): boolean =>
  sourceText('type' in at ? underlined(at) : at).includes(REPLACEMENT_CHARACTER);

function answersOf(subject: Subject, earlier: Asked | undefined): Map<Check, Answer> {
  const changed = earlier && changedParts(earlier.subject, subject);
  const answers = new Map<Check, Answer>();
  const further = furtherTargetsOf(subject);
  for (const check of allChecks) {
    const last = earlier?.answers.get(check);
    const thresholds = thresholdsOf(check, subject);
    const holds =
      last?.thresholds === thresholds &&
      (!check.searches || last.further === further) &&
      changed !== undefined &&
      ![...last.reads].some((part) => changed.has(part));
    if (holds)
      verify(last.found, () => finished(askInSteps(check, subject, thresholds, further)).found, check.id);
    const answer = holds
      ? last
      : check.searches
        ? askBriefly(check, subject, thresholds, further)
        : ask(check, subject, thresholds, further);
    if (answer) answers.set(check, answer);
  }
  return answers;
}

type Question = readonly [check: Check, subject: Subject, thresholds: Thresholds, further: FurtherTargets];

function ask(...[check, subject, thresholds, further]: Question): Answer {
  const { result, reads } = trackReads(() => [...check.find(subject, thresholds, further)].filter(isFound));
  return { thresholds, further, found: result, reads };
}

/** The answer of a check that searches bounds, if it has all of them already. */
function askBriefly(...question: Question): Answer | undefined {
  const step = askInSteps(...question).next();
  return step.done ? step.value : undefined;
}

function* askInSteps(...[check, subject, thresholds, further]: Question): Generator<Pause, Answer> {
  const found: Found[] = [];
  const reads = new Set<string>();
  const steps = check.find(subject, thresholds, further)[Symbol.iterator]();
  while (true) {
    const step = trackReads(() => steps.next());
    for (const part of step.reads) reads.add(part);
    if (step.result.done) return { thresholds, further, found, reads };
    if (isFound(step.result.value)) found.push(step.result.value);
    else yield;
  }
}

const isFound = (one: Found | Pause): one is Found => one !== undefined;

const isMinor = ({ severity }: Finding): boolean => severity === 'information' || severity === 'hint';

/** What the checks need bounded besides the values of a point: the same object for the same thresholds. */
export const furtherTargetsOf = (subject: Subject): FurtherTargets =>
  joined(internList(allChecks.flatMap((check) => check.targets?.(thresholdsOf(check, subject)) ?? [])));

const joined = memo((targets: readonly FurtherTargets[]): FurtherTargets => Object.assign({}, ...targets));
