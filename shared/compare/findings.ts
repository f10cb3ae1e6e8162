import type { Analysis } from '../analysis.ts';
import type { Severity } from '../checks/check.ts';
import type { Finding } from '../checks/finding.ts';
import { groupedBy } from '../grouped-by.ts';
import type { PathMap } from './renames.ts';

/** A finding is open, is accepted with a reason, or is not reported. */
export type FindingStatus = 'none' | 'open' | 'accepted';

/** A finding whose standing, reason or severity changed. */
export interface FindingConsequence {
  readonly type: 'finding';
  readonly was: FindingStatus;
  readonly is: FindingStatus;
  readonly rule: string;
  readonly severity: Severity;
  /** As reported for the new file or, if it is no longer reported, for the old one. */
  readonly finding: Finding;
  /** The old severity, if it was different. */
  readonly severityWas: Severity | undefined;
  /** Why it is or was accepted. */
  readonly reason: string | undefined;
}

interface Stated {
  readonly standing: 'open' | 'accepted';
  readonly finding: Finding;
  readonly reason: string | undefined;
  readonly key: string;
}

/** The findings that are new, no longer reported, newly accepted or no longer accepted. */
export function findingConsequences(
  was: Analysis | undefined,
  is: Analysis | undefined,
  mapped: PathMap,
): FindingConsequence[] {
  const old = stated(was, mapped);
  const now = stated(is, (path) => path);
  // First by message: of several findings of one check at one place, those with the same message are the same finding.
  const pairs = [
    ...pairUp(old, now, ({ key, finding }) => `${key}\n${finding.message}`),
    ...pairUp(old, now, ({ key }) => key),
    ...pairUpInherited(old, now),
  ];
  return [
    ...pairs.flatMap(([before, after]) => consequence(before, after)),
    ...[...now].filter((one) => !isToldInBase(one, was)).flatMap((after) => consequence(undefined, after)),
    ...[...old].filter((one) => !isToldInBase(one, is)).flatMap((before) => consequence(before, undefined)),
  ];
}

/** An overlay reports a finding of its base at `based_on`: the one with the same message is the same finding. */
function pairUpInherited(old: Set<Stated>, now: Set<Stated>): [Stated, Stated][] {
  const words = ({ finding: { rule, message } }: Stated) => `${rule}\n${message}`;
  const isInherited = ({ finding }: Stated) => finding.writtenAt !== undefined;
  return pairUp(
    old,
    now,
    (before) => `${isInherited(before)} ${words(before)}`,
    (after) => `${!isInherited(after)} ${words(after)}`,
  );
}

/** Information is reported in the base file only, so an overlay neither gains nor loses it. */
const isToldInBase = ({ finding: { severity } }: Stated, other: Analysis | undefined): boolean =>
  GRAVITY[severity] < GRAVITY.warning && other?.file.root.get('based_on') !== undefined;

function stated(analysis: Analysis | undefined, mapped: PathMap): Set<Stated> {
  if (!analysis) return new Set();
  const keyOf = ({ rule, path }: Finding) => `${rule} ${mapped(path)}`;
  return new Set<Stated>([
    ...analysis.findings.map((finding) => {
      return { standing: 'open', finding, reason: undefined, key: keyOf(finding) } as const;
    }),
    ...analysis.accepted.map(({ finding, reason }) => {
      return { standing: 'accepted', finding, reason, key: keyOf(finding) } as const;
    }),
  ]);
}

/** Takes the pairs with equal keys out of both sets; `wanted` is the key of a finding's partner in the old set. */
function pairUp(
  old: Set<Stated>,
  now: Set<Stated>,
  keyOf: (one: Stated) => string,
  wanted = keyOf,
): [Stated, Stated][] {
  const waiting = groupedBy(old, keyOf);
  const pairs: [Stated, Stated][] = [];
  for (const after of [...now]) {
    const before = waiting.get(wanted(after))?.shift();
    if (!before) continue;
    old.delete(before);
    now.delete(after);
    pairs.push([before, after]);
  }
  return pairs;
}

function consequence(was: Stated | undefined, is: Stated | undefined): FindingConsequence[] {
  const { finding, reason } = (is ?? was)!;
  const before = was?.finding.severity;
  const severityWas = is && before !== finding.severity ? before : undefined;
  const isSame = was?.standing === is?.standing && was?.reason === is?.reason && severityWas === undefined;
  if (isSame) return [];
  return [
    {
      type: 'finding',
      was: was?.standing ?? 'none',
      is: is?.standing ?? 'none',
      rule: finding.rule,
      severity: finding.severity,
      finding,
      severityWas,
      reason,
    },
  ];
}

const GRAVITY: Readonly<Record<Severity, number>> = { error: 3, warning: 2, information: 1, hint: 0 };

/** Whether a finding is new or has a higher severity, so that a gate must stop it. */
export function isNewFinding({ was, is, severity, severityWas }: FindingConsequence): boolean {
  if (is !== 'open') return false;
  return was !== 'open' || (severityWas !== undefined && GRAVITY[severity] > GRAVITY[severityWas]);
}

export function gravity(severity: Severity): number {
  return GRAVITY[severity];
}
