import type { EngineSubject } from '../checks/check.ts';
import { formatQuantity } from '../checks/words.ts';
import { type JudgedBound, judgements } from '../limits/verdict.ts';
import type { Proof } from '../proof/proof.ts';
import { BOUND_DIGITS } from '../proof/witness.ts';
import { situationText, witnessText } from '../proof/words.ts';
import { type FaultRow, faultTable } from './table.ts';

/** The bounds of every value that a failed sensor changes, each with its limits: the same that `prove` gives. */
export const faultBounds = (proof: Proof, subject: EngineSubject): readonly JudgedBound[] =>
  proof.situations
    .filter(({ fault }) => fault?.startsWith('sensors.'))
    .flatMap((situation) =>
      situation.ids.flatMap((id) =>
        (['high', 'low'] as const).flatMap((side) => {
          const bound = situation.bound(id, side);
          return bound ? judgements(bound, subject) : [];
        }),
      ),
    );

/** The fault table over all states of the envelope, from bounds that were compared with their limits. */
export const faultTableOver = (
  subject: EngineSubject,
  proof: Proof,
  bounds: readonly JudgedBound[],
): readonly FaultRow[] => overEnvelope(faultTable(subject), bounds, proof, subject);

/**
 * The rows with the bounds of their sensor. A limit that is broken in some state of the envelope, and not without the fault, makes
 * the severity `damages`. The bounds of a sensor cover every way in which it can fail.
 */
function overEnvelope(
  rows: readonly FaultRow[],
  bounds: readonly JudgedBound[],
  proof: Proof,
  subject: EngineSubject,
): readonly FaultRow[] {
  return rows.map((row) => {
    const own = bounds.filter(({ fault }) => row.sensor !== undefined && fault === `sensors.${row.sensor}`);
    const broken = own.filter(
      (bound) => bound.verdict === 'broken' && !isBrokenAnyway(bound, proof, subject),
    );
    const isWorse = broken.length > 0 && row.severity !== 'stops' && row.severity !== 'damages';
    return {
      ...row,
      bounds: own,
      ...(isWorse && { severity: 'damages', reasons: [...row.reasons, ...broken.map(reasonOf)] }),
    };
  });
}

function isBrokenAnyway(
  { id, side, mapSet, limit }: JudgedBound,
  proof: Proof,
  subject: EngineSubject,
): boolean {
  const sound = proof.situations
    .find((one) => one.fault === undefined && one.mapSet === mapSet)
    ?.bound(id, side);
  return (
    sound !== undefined &&
    judgements(sound, subject).some((one) => one.limit?.at === limit?.at && one.verdict === 'broken')
  );
}

/** `Injector duty reaches 92 % in some state, beyond the limit of 85 %: 5800 rpm, … (map set climb).` */
function reasonOf(bound: JudgedBound): string {
  const { label, reached, show, limit, mapSet } = bound;
  const numbers = [reached, limit!.value].map((number) => formatQuantity(number, show, BOUND_DIGITS));
  const set = situationText({ mapSet, fault: undefined });
  const where = [witnessText(bound), set].filter(Boolean).join(', ');
  return `${label} reaches ${numbers[0]} in some state of the envelope, beyond the limit of ${numbers[1]}: ${where}.`;
}
