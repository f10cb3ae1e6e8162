import { isFault, parseAs } from '../quantity/index.ts';
import type { SourceFile } from '../source/source-file.ts';
import { applyAcceptances } from './accept.ts';
import type { Check, Setting, Subject } from './check.ts';
import { type Finding, FindingMaker } from './finding.ts';
import { allChecks } from './registry.ts';

export interface Accepted {
  readonly finding: Finding;
  readonly reason: string;
}

export interface Verdict {
  /** In the order of the text. */
  readonly findings: readonly Finding[];
  /** Findings that the file accepts, with its reasons. */
  readonly accepted: readonly Accepted[];
}

/** Asks every check about the subject, then lets the file's `# accept` comments speak. */
export function runChecks(subject: Subject, files: readonly SourceFile[]): Verdict {
  const maker = new FindingMaker(subject.file, files);
  const found = new Map<string, Finding>();
  for (const check of allChecks) {
    for (const one of check.find(subject, thresholdsOf(check, subject))) {
      const finding = maker.make(check, one);
      // What is only worth knowing is told where it is written, not again in every file based on that one.
      if (finding.writtenAt && isMinor(finding)) continue;
      // Map sets that share a value share what is wrong with it: say it once.
      found.set(`${finding.rule}\n${finding.file}\n${finding.start}\n${finding.message}`, finding);
    }
  }
  const verdict = applyAcceptances([...found.values()], subject.file, files);
  return { ...verdict, findings: [...verdict.findings].sort(byPlace) };
}

const isMinor = ({ severity }: Finding): boolean => severity === 'information' || severity === 'hint';

function byPlace(a: Finding, b: Finding): number {
  return a.start - b.start || a.end - b.end || a.rule.localeCompare(b.rule);
}

/** A check's thresholds: its own, or those that the file sets under `checks:`. */
export function thresholdsOf(check: Check, subject: Subject): Record<string, number> {
  const thresholds: Record<string, number> = {};
  for (const [name, setting] of Object.entries(check.settings ?? {})) {
    thresholds[name] =
      overridden(check.id, name, setting, subject) ?? canonical(setting.kind, setting.value)!;
  }
  return thresholds;
}

function overridden(id: string, name: string, setting: Setting, subject: Subject): number | undefined {
  // Only a departure with its reason counts; the schema asks for the reason.
  const layers = subject.installation?.files ?? [subject.file];
  for (const { root } of layers) {
    const section = root.get('checks');
    const own = section?.type === 'mapping' ? section.get(id) : undefined;
    const value = own?.type === 'mapping' && own.get('reason') ? own.get(name) : undefined;
    if (value?.type === 'scalar') return canonical(setting.kind, value.text);
  }
  return undefined;
}

function canonical(kind: Setting['kind'], text: string): number | undefined {
  const read = parseAs(kind, text);
  return isFault(read) ? undefined : read.canonical;
}
