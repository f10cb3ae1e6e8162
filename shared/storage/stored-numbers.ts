import { memo } from '../memo.ts';
import type { Ratio } from '../quantity/exact.ts';
import { type Stored, store } from './coding.ts';
import type { KeptPart } from './kept-parts.ts';
import { exactly, type WrittenNumber } from './written.ts';

/** A number of the engine file, in canonical units as its text states it, and as the controller stores it. */
export interface StoredNumber {
  readonly number: WrittenNumber;
  readonly exact: Ratio;
  readonly stored: Stored;
}

/** The stored numbers of a part; none if its scale or offset does not fit them. */
export const storedNumbers = memo(({ written, coding }: KeptPart): readonly StoredNumber[] =>
  (coding ? written.numbers : []).map((number) => {
    const exact = exactly(number);
    return { number, exact, stored: store(coding!, exact) };
  }),
);
