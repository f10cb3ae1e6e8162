/** How far a number may be off: at most `share` of it plus `width`, in canonical units. One of them is zero. */
export interface Tolerance {
  readonly share: number;
  readonly width: number;
}

export type ToleranceProblem =
  /** A place that can have no tolerance: an end of a range, a breakpoint, a count of bits. */
  | 'not-here'
  | 'not-a-number'
  | 'negative'
  | 'unit-missing'
  | 'wrong-unit'
  /** A percentage of a temperature whose zero is arbitrary. */
  | 'share-of-temperature';

export interface ToleranceFault {
  readonly problem: ToleranceProblem;
  /** What could be meant instead. */
  readonly suggestedText?: string;
}

/** `+-` and `+/-` are what a keyboard offers for `±`. */
const MARK = /±|\+\/?-/g;

/** Splits `350 cc/min ± 3 %` at its mark; undefined without one. A sign in front of the number is not such a mark. */
export function splitTolerance(text: string): { readonly at: number; readonly end: number } | undefined {
  for (const mark of text.matchAll(MARK)) {
    if (text.slice(0, mark.index).trim() === '') continue;
    return { at: mark.index, end: mark.index + mark[0].length };
  }
  return undefined;
}

/** Half the width of the tolerance of a number, in canonical units. */
export const halfWidthOf = ({ share, width }: Tolerance, canonical: number): number =>
  share * Math.abs(canonical) + width;

/** The text from the mark to the end. */
export const toleranceRange = (text: string, at: number): readonly [start: number, end: number] => [
  at,
  text.trimEnd().length,
];
