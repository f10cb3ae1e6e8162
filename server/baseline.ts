import { readFileSync } from 'node:fs';
import { dirname, relative, resolve } from 'node:path';
import { mayBeAccepted } from '../shared/checks/accept.ts';
import type { Finding } from '../shared/checks/finding.ts';
import { UsageError } from './commands/command.ts';
import { reason } from './files.ts';
import type { CheckedFile } from './formats/check-report.ts';
import { fingerprintsOf } from './formats/fingerprint.ts';

/** Existing findings, by file, that are ignored until the value at their place or a number in their message changes. */
export interface Baseline {
  /** Its path. Files are named relative to its folder, so that it does not depend on the working directory. */
  readonly name: string;
  readonly entries: readonly BaselineEntry[];
}

/**
 * Rule and path are for readers; fingerprint and numbers are compared, so that a listed finding whose numbers moved is a new
 * one.
 */
export interface BaselineEntry {
  readonly file: string;
  readonly rule: string;
  readonly path: string;
  readonly fingerprint: string;
  /** The numbers in the message; absent in baselines that were written without them, which then match any. */
  readonly numbers?: string;
}

const VERSION = 1;

/** Reads a baseline, or returns why it cannot be used. */
function readBaseline(name: string): Baseline | string {
  let read: unknown;
  try {
    read = JSON.parse(readFileSync(name, 'utf8'));
  } catch (error) {
    const why = error instanceof SyntaxError ? `it is not JSON (${error.message})` : reason(error);
    return `Cannot read the baseline ${name}: ${why}.`;
  }
  const { baselinefile, findings } = (read ?? {}) as { baselinefile?: unknown; findings?: unknown };
  if (baselinefile !== VERSION) {
    return `${name} is not a baseline of this version: \`"baselinefile": ${VERSION}\` is missing.`;
  }
  if (!Array.isArray(findings) || !findings.every(isEntry)) {
    return `The baseline ${name} is damaged: an entry has no \`file\`, \`rule\`, \`path\` or \`fingerprint\`. Write it again with \`--write-baseline\`.`;
  }
  return { name, entries: findings };
}

/** The baseline at a path; throws a `UsageError` if it cannot be used. */
export function baselineOrRefuse(name: string): Baseline {
  const baseline = readBaseline(name);
  if (typeof baseline === 'string') throw new UsageError(baseline);
  return baseline;
}

function isEntry(entry: unknown): entry is BaselineEntry {
  const { file, rule, path, fingerprint } = (entry ?? {}) as Record<string, unknown>;
  return [file, rule, path, fingerprint].every((text) => typeof text === 'string');
}

/** The text of a baseline, one line per finding, so that a review shows what is ignored. */
export function baselineText({ entries }: Baseline): string {
  const lines = entries.map((entry) => `    ${JSON.stringify(entry)}`);
  const list = lines.length > 0 ? `[\n${lines.join(',\n')}\n  ]` : '[]';
  return `{\n  "baselinefile": ${VERSION},\n  "findings": ${list}\n}\n`;
}

/** A baseline of all findings, except those that cannot be accepted. */
export function baselineOf(name: string, files: readonly CheckedFile[]): Baseline {
  const entries = files.flatMap((checked) => entriesOf(name, checked).flatMap(({ entry }) => entry ?? []));
  return { name, entries };
}

export interface Applied {
  /** The checked files. Findings in the baseline are kept in `known`. */
  readonly files: readonly CheckedFile[];
  /** Entries of the checked files that match no finding any more. */
  readonly gone: readonly BaselineEntry[];
}

export function applyBaseline({ name, entries }: Baseline, files: readonly CheckedFile[]): Applied {
  const wanted = new Map(entries.map((entry) => [keyOf(entry), entry]));
  const met = new Set<string>();
  const applied = files.map((checked) => {
    const known: Finding[] = [];
    const findings: Finding[] = [];
    for (const { finding, entry } of entriesOf(name, checked)) {
      const key = entry && keyOf(entry);
      const listed = key === undefined ? undefined : wanted.get(key);
      if (listed) met.add(key!);
      const isSame = listed && (listed.numbers === undefined || listed.numbers === entry!.numbers);
      (isSame ? known : findings).push(finding);
    }
    return { ...checked, analysis: { ...checked.analysis, findings }, known };
  });
  const checkedNames = new Set(files.map((checked) => nameFrom(name, checked)));
  const gone = [...wanted].filter(([key, { file }]) => checkedNames.has(file) && !met.has(key));
  return { files: applied, gone: gone.map(([, entry]) => entry) };
}

/** The findings of a file, each with its baseline entry if it may have one. */
function entriesOf(baseline: string, checked: CheckedFile): { finding: Finding; entry?: BaselineEntry }[] {
  const { findings } = checked.analysis;
  const prints = fingerprintsOf(checked, findings);
  const file = nameFrom(baseline, checked);
  return findings.map((finding, i) => {
    const { rule, path, message } = finding;
    const entry = { file, rule, path, fingerprint: prints[i]!, numbers: numbersOf(message) };
    return mayBeAccepted(rule) ? { finding, entry } : { finding };
  });
}

/** A reworded message keeps its numbers. */
const numbersOf = (message: string): string => (message.match(/[−-]?\d+(?:\.\d+)?/g) ?? []).join(' ');

const keyOf = ({ file, fingerprint }: BaselineEntry): string => `${file}\n${fingerprint}`;

function nameFrom(baseline: string, { analysis }: CheckedFile): string {
  return relative(dirname(resolve(baseline)), analysis.file.path).replaceAll('\\', '/');
}
