import { memo, trackReads, verify } from '../memo.ts';
import { isFault, parseAs } from '../quantity/index.ts';
import type { SourceFile } from '../source/source-file.ts';
import type { MappingNode } from '../source/tree.ts';
import { applyAcceptances } from './accept.ts';
import type { Check, Found, Setting, Subject } from './check.ts';
import { type Finding, FindingMaker, type Verdict } from './finding.ts';
import { allChecks } from './registry.ts';
import { changedParts } from './subject.ts';

/** What every check said about a subject, and what it looked at. */
export interface Asked {
  readonly subject: Subject;
  readonly answers: ReadonlyMap<Check, Answer>;
}

interface Answer {
  readonly thresholds: Thresholds;
  readonly found: readonly Found[];
  /** The parts of the subject that were read for it. */
  readonly reads: ReadonlySet<string>;
}

type Thresholds = Readonly<Record<string, number>>;

/**
 * Asks every check about the subject, then lets the file's `# accept` comments speak. A check that looked at nothing
 * that has changed since it was asked earlier says the same again.
 */
export function runChecks(
  subject: Subject,
  files: readonly SourceFile[],
  earlier?: Asked,
): Verdict & { readonly asked: Asked } {
  const maker = new FindingMaker(subject.file, files);
  const findings: Finding[] = [];
  const answers = answersOf(subject, earlier);
  for (const [check, answer] of answers) {
    // All of them are shown in the subject's own file.
    const found = new Map<string, Finding>();
    for (const one of answer.found) {
      const finding = maker.make(check, one);
      // What is only worth knowing is told where it is written, not again in every file based on that one.
      if (finding.writtenAt && isMinor(finding)) continue;
      // Map sets that share a value share what is wrong with it: say it once.
      found.set(`${finding.start} ${finding.message}`, finding);
    }
    for (const finding of found.values()) findings.push(finding);
  }
  const verdict = applyAcceptances(findings, subject.file, files);
  return { ...verdict, findings: [...verdict.findings].sort(byPlace), asked: { subject, answers } };
}

function answersOf(subject: Subject, earlier: Asked | undefined): Map<Check, Answer> {
  const changed = earlier && changedParts(earlier.subject, subject);
  const answers = new Map<Check, Answer>();
  for (const check of allChecks) {
    const last = earlier?.answers.get(check);
    const stated = thresholdsOf(check, subject);
    // The same object for as long as they are the same, so that what was judged by them holds.
    const thresholds = last && same(last.thresholds, stated) ? last.thresholds : stated;
    const holds =
      last?.thresholds === thresholds &&
      changed !== undefined &&
      ![...last.reads].some((part) => changed.has(part));
    if (holds) verify(last.found, () => [...check.find(subject, thresholds)], check.id);
    answers.set(check, holds ? last : ask(check, subject, thresholds));
  }
  return answers;
}

function ask(check: Check, subject: Subject, thresholds: Thresholds): Answer {
  const { result, reads } = trackReads(() => [...check.find(subject, thresholds)]);
  return { thresholds, found: result, reads };
}

const same = (a: Thresholds, b: Thresholds): boolean =>
  a === b || Object.keys(a).every((name) => a[name] === b[name]);

const isMinor = ({ severity }: Finding): boolean => severity === 'information' || severity === 'hint';

function byPlace(a: Finding, b: Finding): number {
  // No `localeCompare`: to load how words of all languages are ordered would take a cold check a twelfth of its time.
  return a.start - b.start || a.end - b.end || Number(a.rule > b.rule) - Number(a.rule < b.rule);
}

/** A check's thresholds: its own, or those that the file sets under `checks:`. */
export function thresholdsOf(check: Check, subject: Subject): Thresholds {
  const usual = usualThresholds(check);
  // Only a departure with its reason counts; the schema asks for the reason.
  const departures = departuresIn(subject).flatMap((section) => {
    const own = section.get(check.id);
    return own?.type === 'mapping' && own.get('reason') ? [own] : [];
  });
  if (departures.length === 0) return usual;
  const thresholds = { ...usual };
  for (const [name, { kind }] of Object.entries(check.settings ?? {})) {
    const written = departures.map((own) => own.get(name)).find((value) => value?.type === 'scalar');
    const departed = written && canonical(kind, written.text);
    if (departed !== undefined) thresholds[name] = departed;
  }
  return thresholds;
}

/** The `checks` of the files that may have some. */
const departuresIn = memo((subject: Subject): readonly MappingNode[] =>
  (subject.installation?.files ?? [subject.file]).flatMap(({ root }) => {
    const section = root.get('checks');
    return section?.type === 'mapping' ? [section] : [];
  }),
);

const usualThresholds = memo(
  ({ settings }: Check): Thresholds =>
    Object.fromEntries(
      Object.entries(settings ?? {}).map(([name, { kind, value }]) => [name, canonical(kind, value)!]),
    ),
);

function canonical(kind: Setting['kind'], text: string): number | undefined {
  const read = parseAs(kind, text);
  return isFault(read) ? undefined : read.canonical;
}
