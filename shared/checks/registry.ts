import type { Check, Family } from './check.ts';
import { fuel } from './fuel.ts';

/** Every family of checks, in the order of the reference. A new family is one line here. */
export const families: readonly Family[] = [fuel];

export const allChecks: readonly Check[] = families.flatMap((family) => family.checks);

export function checkNamed(id: string): Check | undefined {
  return allChecks.find((check) => check.id === id);
}
