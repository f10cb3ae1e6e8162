import type { Finding } from './finding.ts';
import { folded } from './folded.ts';

/** The number of findings per check and severity that a file lists; more would not help a reader. */
export const MAX_LISTED = 100;

/**
 * The findings of a file as every face lists them: each cause once (see `folded`); for each check and severity the first ones in
 * the order of the list, then one that replaces all others and counts them. Comparison, acceptance, gates and baselines use
 * the whole list; counts are those of `folded`.
 */
export function capped(findings: readonly Finding[]): readonly Finding[] {
  return cappedBy(folded(findings), ({ rule, severity }) => `${rule} ${severity}`, leftOutFinding);
}

/**
 * The same for other lists. Items without a kind are all kept; `more` turns the first item that is left out into the one
 * that counts the rest.
 */
export function cappedBy<One>(
  all: readonly One[],
  kindOf: (one: One) => string | undefined,
  more: (first: One, leftOut: number) => One,
): readonly One[] {
  if (all.length <= MAX_LISTED) return all;
  const kinds = all.map(kindOf);
  const counts = new Map<string, number>();
  for (const kind of kinds) {
    if (kind !== undefined) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  }
  const met = new Map<string, number>();
  return all.flatMap((one, i) => {
    const kind = kinds[i];
    if (kind === undefined) return [one];
    const before = met.get(kind) ?? 0;
    met.set(kind, before + 1);
    const leftOut = counts.get(kind)! - MAX_LISTED;
    // An item that replaces only one other would take as much space as that one.
    if (before < MAX_LISTED || leftOut === 1) return [one];
    return before === MAX_LISTED ? [more(one, leftOut)] : [];
  });
}

/** The finding that replaces those that are not listed, at the place of the first of them. */
export function leftOutFinding(first: Finding, leftOut: number): Finding {
  const message = `${leftOut} more \`${first.rule}\` findings from here on are not listed.`;
  return { ...first, message, related: [], fixes: [], leftOut };
}
