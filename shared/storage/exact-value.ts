import type { QuantityValue } from '../configuration/values.ts';
import { exactNumber, exactOf, type Ratio } from '../quantity/exact.ts';
import { exactFromUnit } from '../quantity/index.ts';

/** The number of a value as its text states it, in its own unit. */
export const exactNumberOf = ({ node, quantity }: QuantityValue): Ratio =>
  exactNumber(node.text.slice(...quantity.numberRange)) ?? exactOf(quantity.number);

/** The same in canonical units. */
export const exactValue = (value: QuantityValue): Ratio =>
  exactFromUnit(exactNumberOf(value), value.quantity.unit);
