import { FAULT_KINDS } from '../faults/words.ts';
import { groupedBy } from '../grouped-by.ts';
import { type FaultConsequence, isNewlySevere } from './faults.ts';

/** Faults that a change made worse in the same way, as every face shows them. */
export interface WorseFault {
  /** `sensors.manifold_pressure` */
  readonly of: string;
  /** `open circuit or shorted to ground` */
  readonly how: string;
  /** `degrades → damages`; one word if the severity is the same. */
  readonly severity: string;
  /** What is worse, in sentences with code between backticks. */
  readonly text: string;
  readonly isSevere: boolean;
  readonly first: FaultConsequence;
}

/** One line for each part that fails and each way in which that became worse. */
export function worseFaults(faults: readonly FaultConsequence[]): WorseFault[] {
  const lines = faults.map((fault) => ({ fault, words: wordsOf(fault) }));
  const alike = groupedBy(lines, ({ fault, words }) => [fault.is.of, words.severity, words.text].join('\n'));
  return [...alike.values()].map((same) => {
    const [{ fault, words }] = same as [(typeof lines)[number]];
    return {
      of: fault.is.of,
      how: same.map((one) => FAULT_KINDS[one.fault.is.fault]).join(' or '),
      ...words,
      isSevere: isNewlySevere(fault),
      first: fault,
    };
  });
}

function wordsOf({
  was,
  is,
  isMoreSevere,
  isUnnoticed,
}: FaultConsequence): Pick<WorseFault, 'severity' | 'text'> {
  const isUntold = was.toldBy.length > 0 && is.toldBy.length === 0;
  const parts = [
    ...(isMoreSevere ? is.reasons : []),
    ...(isUnnoticed && was.noticed && !is.noticed ? ['The controller no longer detects it.'] : []),
    ...(isUnnoticed && isUntold ? [`Nothing shows it any more; before: ${was.toldBy.join(', ')}.`] : []),
  ];
  return {
    severity: was.severity === is.severity ? is.severity : `${was.severity} → ${is.severity}`,
    text: parts.join(' '),
  };
}

/** The line without columns: `sensors.map, open circuit: degrades → damages. Lambda is 1.2 at …` */
export const faultSentence = ({ of, how, severity, text }: WorseFault): string =>
  `${of}, ${how}: ${severity}. ${text}`;
