import { listed } from '../checks/words.ts';
import type { Comparison } from './comparison.ts';
import type { Consequence } from './consequence.ts';
import { passed } from './consequence-order.ts';
import { gravity, isNewFinding } from './findings.ts';
import type { ValueConsequence } from './values.ts';
import { counted } from './words.ts';

/** How a reviewer may take a change at first sight. */
export type Verdict = 'nothing' | 'harmless' | 'look' | 'stop';

/**
 * `stop`: a new error; `look`: a new warning, or a value that passed its limit; `harmless`: neither of these.
 */
export function verdictOf({ changes, consequences }: Comparison): Verdict {
  if (changes.length + consequences.length === 0) return 'nothing';
  const fresh = newFindings(consequences);
  if (fresh.some(({ severity }) => severity === 'error')) return 'stop';
  return fresh.some(({ severity }) => severity === 'warning') || beyond(consequences).length > 0
    ? 'look'
    : 'harmless';
}

/** The verdict in a sentence: what came, what passed its limit, and how much was changed. */
export function verdictText(comparison: Comparison): string {
  if (verdictOf(comparison) === 'nothing') return 'Nothing changed in the engine.';
  return `${verdictParts(comparison).join('; ')}.`;
}

/** The two halves of that sentence: what a reviewer must know, and how much there is to read. */
export function verdictParts({ changes, consequences }: Comparison): [found: string, rest: string] {
  const parts = newFindingCounts(consequences);
  const over = beyond(consequences).length;
  if (over > 0) parts.push(`${counted(over, 'value')} beyond ${over === 1 ? 'its limit' : 'their limits'}`);
  const found = parts.length > 0 ? capital(listed(parts)) : 'No new finding';
  const gone = consequences.filter(
    (one) => one.type === 'finding' && one.is === 'none' && gravity(one.severity) >= gravity('warning'),
  ).length;
  const accepted = consequences.filter((one) => one.type === 'finding' && one.is === 'accepted').length;
  const moved = consequences.filter(({ type }) => type === 'value').length;
  const rest = [
    counted(changes.length, 'change'),
    ...(moved > 0 ? [`${counted(moved, 'derived value')} moved`] : []),
    ...(gone > 0 ? [`${counted(gone, 'finding')} gone`] : []),
    ...(accepted > 0 ? [`${accepted} newly accepted`] : []),
  ];
  return [found, listed(rest)];
}

function newFindingCounts(consequences: readonly Consequence[]): string[] {
  const fresh = newFindings(consequences);
  return (['error', 'warning'] as const).flatMap((severity) => {
    const count = fresh.filter((finding) => finding.severity === severity).length;
    return count > 0 ? [counted(count, `new ${severity}`)] : [];
  });
}

function newFindings(consequences: readonly Consequence[]) {
  return consequences.filter((one) => one.type === 'finding').filter(isNewFinding);
}

function beyond(consequences: readonly Consequence[]): ValueConsequence[] {
  return consequences.filter(
    (one): one is ValueConsequence => one.type === 'value' && one.limit !== undefined && passed(one.limit),
  );
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
