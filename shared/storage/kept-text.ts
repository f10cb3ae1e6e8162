import { decimalText, decimalTextUntil, minus, type Ratio, states } from '../quantity/exact.ts';
import { exactToUnit, splitUnit } from '../quantity/index.ts';
import type { StoredCell } from './stored-parts.ts';

type StoredNumber = NonNullable<StoredCell['number']>;

/** Decimals beyond those of the text that show how a number was rounded. */
const FURTHER = 3;

/**
 * What the controller keeps of a number where that matters: the rounding is more than half of the last digit written. In
 * the unit of the text, without the unit; undefined if the number is kept as it is written.
 */
export function keptText({ written, exact, kept }: StoredNumber): string | undefined {
  const unit = splitUnit(written.unit)?.unit;
  const [own, stored] = [exactToUnit(exact, unit), exactToUnit(kept, unit)];
  const decimals = /\.(\d+)$/.exec(written.node.text.slice(...written.digits))?.[1]?.length ?? 0;
  if (!isMoreThanHalfOf(minus(stored, own), decimals)) return undefined;
  const most = decimals + FURTHER;
  return (
    decimalTextUntil(stored, decimals, most, (text) => states(text, stored)) ?? decimalText(stored, most)
  );
}

/** Whether a difference is more than half of one in the last of some decimals. */
function isMoreThanHalfOf({ top, bottom }: Ratio, decimals: number): boolean {
  const size = top < 0n ? -top : top;
  return 2n * size * 10n ** BigInt(decimals) > bottom;
}
