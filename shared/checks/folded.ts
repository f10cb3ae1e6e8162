import { groupedBy } from '../grouped-by.ts';
import type { Severity } from './check.ts';
import type { Finding } from './finding.ts';

const GRAVITY: Readonly<Record<Severity, number>> = { hint: 0, information: 1, warning: 2, error: 3 };

/** The places that a folded finding lists; nobody opens more of them. */
const MOST_RELATED = 20;

/**
 * The findings of a file with each cause reported once: of several findings with one cause the most severe stays, and
 * the others become its related places. Of equally severe ones, one in this file itself stays, and of these one with a
 * fix.
 */
export function folded(findings: readonly Finding[]): readonly Finding[] {
  const folds = foldsOf(findings);
  return folds.size === 0
    ? findings
    : findings.flatMap((one) => (folds.has(one) ? (folds.get(one) ?? []) : one));
}

/** What becomes of the findings that share a cause with another: one is replaced, the others are left out. */
export function foldsOf(findings: readonly Finding[]): ReadonlyMap<Finding, Finding | undefined> {
  const folds = new Map<Finding, Finding | undefined>();
  for (const [cause, alike] of groupedBy(findings, (one) => one.cause)) {
    if (cause === undefined || alike.length < 2) continue;
    const head = alike.reduce((first, one) => (rank(one) > rank(first) ? one : first));
    const others = alike.filter((one) => one !== head);
    for (const one of others) folds.set(one, undefined);
    folds.set(head, { ...head, related: [...head.related, ...relatedTo(others)] });
  }
  return folds;
}

/**
 * By severity; then findings in this file before those in its base files, and those with a fix before those without.
 */
const rank = ({ severity, writtenAt, fixes }: Finding): number =>
  4 * GRAVITY[severity] + (writtenAt ? 0 : 2) + (fixes.length > 0 ? 1 : 0);

function relatedTo(others: readonly Finding[]): Finding['related'] {
  const places = others.map((one) => {
    const { file, start, end } = one.writtenAt ?? one;
    return { file, start, end, message: one.message };
  });
  const rest = places.length - MOST_RELATED;
  if (rest < 2) return places;
  const [first] = places.slice(MOST_RELATED);
  const message = `From here on, ${rest} more findings with this cause are not listed.`;
  return [...places.slice(0, MOST_RELATED), { ...first!, message }];
}
