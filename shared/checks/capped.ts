import type { Finding } from './finding.ts';

/** Findings of one check and severity that a file lists; a reader who mends so many looks again anyway. */
export const MOST_OF_A_KIND = 100;

/**
 * The findings of a file as every face lists them: of each check and severity the first in the order of the list, then one
 * that stands in the place of all further ones and says how many they are. What counts, compares or accepts findings,
 * and what a gate or a baseline looks at, is the whole list.
 */
export function capped(findings: readonly Finding[]): readonly Finding[] {
  return cappedBy(findings, ({ rule, severity }) => `${rule} ${severity}`, standingFor);
}

/**
 * The same for other members of a list, where those without a kind are all kept; `more` makes of the first that is left out
 * the one that stands for so many.
 */
export function cappedBy<One>(
  all: readonly One[],
  kindOf: (one: One) => string | undefined,
  more: (first: One, leftOut: number) => One,
): readonly One[] {
  if (all.length <= MOST_OF_A_KIND) return all;
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
    const leftOut = counts.get(kind)! - MOST_OF_A_KIND;
    // One that stands for a single other would take as much room as that one.
    if (before < MOST_OF_A_KIND || leftOut === 1) return [one];
    return before === MOST_OF_A_KIND ? [more(one, leftOut)] : [];
  });
}

/** The finding that is listed for so many, at the place of the first of them. */
export function standingFor(first: Finding, leftOut: number): Finding {
  const message = `From here on, ${leftOut} more findings of \`${first.rule}\` are not listed.`;
  return { ...first, message, related: [], fixes: [], leftOut };
}
