import { maximumOf } from '../extremes.ts';
import { exactNumber, minus, nearestDouble } from '../quantity/exact.ts';
import { differenceUnit, exactFromUnit, exactToUnit, splitUnit } from '../quantity/index.ts';
import { type Edit, replace } from '../source/edit.ts';
import { spanInScalar } from '../source/tree.ts';
import { spell, spellingOf, spellingWithin } from '../spelling.ts';
import { type Coding, rangeOf, store } from '../storage/coding.ts';
import { type KeptPart, keptParts } from '../storage/kept-parts.ts';
import { type StoredNumber, storedNumbers } from '../storage/stored-numbers.ts';
import { type Check, engineCheck, type Fix } from './check.ts';
import { nameOf } from './form-words.ts';
import { andMore, isWritten, valueOfCount, writtenText } from './storage-parts.ts';
import { areWrittenIn } from './tables.ts';
import { formatNumber, formatQuantity, formatStated } from './words.ts';

const errorOf = ({ exact, stored }: StoredNumber): number => nearestDouble(minus(stored.kept, exact));

/** The item with the largest size. */
function worstBy<Item>(items: readonly Item[], size: (item: Item) => number): Item | undefined {
  return items.reduce<Item | undefined>(
    (most, item) => (most === undefined || size(item) > size(most) ? item : most),
    undefined,
  );
}

export const valueNotRepresentable: Check = engineCheck({
  id: 'value-not-representable',
  severity: 'warning',
  title: 'Value rounded by controller storage',
  page: {
    catches:
      'A value, cell or breakpoint between two counts of its field. A table has one finding, at the cell with the largest rounding. The finding is information if the rounding is small relative to the value, or to the largest value of the table.',
    why: 'The engine runs on the stored value, not on the written one. Anyone who compares settings or adds up small corrections works with numbers that the controller never had.',
    example:
      'ignition:\n  advance: { unit: deg, values: [[18.3, 32]] }   # stored as i8 with 0.5 deg per count: 18.5 deg',
    remedy:
      'Write the value that is stored; the fix does that. If it is too coarse, the field needs a finer scale.',
    basis: 'Arithmetic: offset plus count times scale. The threshold is common practice, no source.',
  },
  settings: {
    share: {
      kind: 'ratio',
      value: '1 %',
      meaning: 'Rounding by more than this share of the value is a warning, otherwise information.',
    },
  },
  *find({ installation }, { share }) {
    for (const kept of keptParts(installation)) {
      const { coding, written } = kept;
      if (!coding) continue;
      const rounded = storedNumbers(kept).filter(({ stored }) => !stored.isExact && !stored.overflows);
      const worst = worstBy(rounded, (one) => Math.abs(errorOf(one)));
      if (!worst) continue;
      const error = errorOf(worst);
      const largest = maximumOf(written.numbers.map(({ canonical }) => Math.abs(canonical)));
      const { number } = worst;
      const by = `${formatQuantity(Math.abs(error), differenceUnit(number.unit), 2)} ${error > 0 ? 'more' : 'less'}`;
      yield {
        at: number.node,
        severity: Math.abs(error) > share * largest ? 'warning' : 'information',
        message: `${isWritten(kept, number)}; the controller stores ${keptText(worst)}, ${by}${andMore(kept, rounded.length - 1)}.`,
        related: valueOfCount(kept, coding, number.unit),
        fixes: writingKept(kept, coding, rounded, worst),
      };
    }
  },
});

/** The stored value in the unit that is written. */
const inUnit = ({ number, stored }: StoredNumber): number =>
  nearestDouble(exactToUnit(stored.kept, splitUnit(number.unit)?.unit));

/** Enough decimals for a relative error of at most 1e-6. */
const closely = (number: number) => spellingWithin([number], 1e-6 * Math.abs(number));

function keptText(one: StoredNumber): string {
  const number = inUnit(one);
  return `${spell(number, { ...closely(number), padded: false })} ${one.number.unit}`.trim();
}

/** The fix that replaces all rounded numbers by the stored values, each formatted like its row. */
function writingKept(
  kept: KeptPart,
  coding: Coding,
  rounded: readonly StoredNumber[],
  worst: StoredNumber,
): Fix[] {
  const { value, part, written } = kept;
  const nodes = rounded.map(({ number }) => number.node);
  if (value.type === 'table' && !areWrittenIn(value, nodes)) return [];
  if (part.name !== 'values' && mergedAt(kept, coding) !== undefined) return [];
  const edits: Edit[] = [];
  for (const one of rounded) {
    const row = written.numbers.filter(({ row }) => row === one.number.row).map(({ node }) => node.text);
    const like = row.length > 1 && value.type === 'table' ? spellingOf(row) : { decimals: 0, padded: false };
    const number = inUnit(one);
    const least = like.padded ? like.decimals : 0;
    const text = spell(number, { ...like, decimals: Math.max(least, closely(number).decimals) });
    const exact = exactFromUnit(exactNumber(text)!, splitUnit(one.number.unit)?.unit);
    if (!store(coding, exact).isExact) return [];
    edits.push(replace(spanInScalar(one.number.node, ...one.number.digits), text));
  }
  const title =
    rounded.length === 1
      ? `Change to ${keptText(worst)}`
      : `Change ${rounded.length === 2 ? 'both' : `all ${rounded.length}`} values to what the controller stores, here ${keptText(worst)}`;
  return [{ title, safety: 'choice', edits }];
}

export const valueOverflowsStorage: Check = engineCheck({
  id: 'value-overflows-storage',
  severity: 'error',
  title: 'Value outside storage range',
  page: {
    catches:
      'A value, cell or breakpoint outside the range that the type, scale and offset of its field can store. A table has one finding, at the cell that is furthest outside.',
    why: 'A value that is too large wraps around or is clipped: a cell of 26 ms becomes 0.4 ms, and a cylinder runs lean.',
    example:
      'fuel:\n  cranking_pulse: { unit: ms, values: [32, 14] }   # stored as u8 with 0.1 ms per count: at most 25.5 ms',
    remedy: 'Write a value within the range, or correct the type, scale or offset in the controller file.',
    basis: 'Arithmetic: offset plus count times scale, for all counts of the type.',
  },
  *find({ installation }) {
    for (const kept of keptParts(installation)) {
      const { coding } = kept;
      if (!coding) continue;
      const outside = storedNumbers(kept).filter(({ stored }) => stored.overflows);
      const worst = worstBy(outside, (one) => Math.abs(errorOf(one)));
      if (!worst) continue;
      const { number } = worst;
      const [low, high] = rangeOf(coding).map((end) => formatStated(end, number.unit)) as [string, string];
      yield {
        at: number.node,
        message: `${isWritten(kept, number)}, outside the range of its field, ${low} to ${high}${andMore(kept, outside.length - 1)}.`,
        related: valueOfCount(kept, coding, number.unit),
      };
    }
  },
});

/** The first breakpoint that is stored as the same count as the one before it, or a lower one. */
function mergedAt(kept: KeptPart, coding: Coding): number | undefined {
  const numbers = storedNumbers(kept);
  // Breakpoints outside the range of the field all have its last count, and have their own finding.
  if (numbers.some(({ stored }) => stored.overflows)) return undefined;
  const counts = numbers.map(({ stored }) => (coding.step.top < 0n ? -stored.raw : stored.raw));
  const at = counts.findIndex((count, i) => i > 0 && count <= counts[i - 1]!);
  return at < 0 ? undefined : at;
}

export const breakpointsMergeInStorage: Check = engineCheck({
  id: 'breakpoints-merge-in-storage',
  severity: 'error',
  title: 'Breakpoints merge in storage',
  page: {
    catches:
      'Neighbouring breakpoints of a curve or map that are different in the file but stored as the same count.',
    why: 'The stored axis does not rise, although the axis in the file does. An interpolation between the two divides by zero, and it is undefined which column is used.',
    example:
      'x: { quantity: battery_voltage, unit: V, breakpoints: [13.4, 13.8] }   # stored as u8 with 1 V per count: 13 and 14; 13.6 would be 14 too',
    remedy: 'Move the breakpoints at least one count apart, or give the axis of the field a finer scale.',
    basis: 'The file format: breakpoints rise strictly. The stored ones must rise as well.',
  },
  *find({ installation }) {
    for (const kept of keptParts(installation)) {
      const { coding, written, value, part } = kept;
      if (!coding || part.name === 'values') continue;
      const { numbers } = written;
      if (numbers.some(({ canonical }, i) => i > 0 && canonical <= numbers[i - 1]!.canonical)) continue;
      const at = mergedAt(kept, coding);
      const [before, here] = at === undefined ? [] : [numbers[at - 1], numbers[at]];
      if (!before || !here) continue;
      const { raw } = storedNumbers(kept)[at!]!.stored;
      yield {
        at: here.node,
        message: `The breakpoints ${writtenText(before)} and ${writtenText(here)} of ${nameOf(value.node)} are both stored as the count ${formatNumber(raw, 10)}.`,
        related: [
          { at: before.node, message: 'Previous breakpoint.' },
          ...valueOfCount(kept, coding, here.unit),
        ],
      };
    }
  },
});
