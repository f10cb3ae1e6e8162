import type { FaultedPoint } from '../derived/faults.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import { applicationOf, apply, type MaybeOperand, type Result } from '../derived/value.ts';
import { advanceDifference } from '../physics/margins.ts';
import type { IsSame } from './delivered-lambda.ts';

/** How much earlier than without the fault the spark is. */
export const addedAdvance = {
  id: 'advance_added_by_fault',
  label: 'Advance added by the fault',
} as const;

/** The advance under a fault less that without it. Map or retard, if equal in both, is left out, as it would widen bounds. */
export function addedAdvanceOf(
  { actual, assumed }: Pick<FaultedPoint, 'actual' | 'assumed'>,
  isSame: IsSame,
): Result | undefined {
  const [before, now] = [actual.get(ignitionAdvance), assumed.get(ignitionAdvance)];
  if (!before || !now) return undefined;
  const [sound, faulted] = [before, now].map((advance) => applicationOf(advance.result).operands);
  const differs = (name: string) => !isSame(sound![name]!, faulted![name]!);
  const difference = (advance: MaybeOperand, from: MaybeOperand) =>
    apply(advanceDifference, { advance, from });
  if (!differs('fromMap')) return difference(sound!.retard, faulted!.retard);
  return differs('retard') ? difference(now, before) : difference(faulted!.fromMap, sound!.fromMap);
}
