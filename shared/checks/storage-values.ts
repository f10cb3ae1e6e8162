import { maximumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import { differenceUnit, fromUnit, splitUnit, toUnit } from '../quantity/index.ts';
import { type Edit, replace } from '../source/edit.ts';
import { spanInScalar } from '../source/tree.ts';
import { type Coding, rangeOf, type Stored, store } from '../storage/coding.ts';
import { type KeptPart, keptParts } from '../storage/kept-parts.ts';
import type { WrittenNumber } from '../storage/written.ts';
import { spell, spellingOf, spellingWithin } from '../tables/spelling.ts';
import { type Check, engineCheck, type Fix } from './check.ts';
import { nameOf } from './form-words.ts';
import { andMore, isWritten, worthOfCount, writtenText } from './storage-parts.ts';
import { standIn } from './tables.ts';
import { formatNumber, formatQuantity } from './words.ts';

interface StoredNumber {
  readonly number: WrittenNumber;
  readonly stored: Stored;
}

/** Several checks look at the same numbers, and parts outlive a keystroke elsewhere. */
const storedNumbers = memo(({ written }: KeptPart, coding: Coding): readonly StoredNumber[] =>
  written.numbers.map((number) => ({ number, stored: store(coding, number.canonical) })),
);

const errorOf = ({ number, stored }: StoredNumber): number => stored.canonical - number.canonical;

/** The greatest by a measure of size. */
function worstBy<Item>(items: readonly Item[], size: (item: Item) => number): Item | undefined {
  return items.reduce<Item | undefined>(
    (most, item) => (most === undefined || size(item) > size(most) ? item : most),
    undefined,
  );
}

export const valueNotRepresentable: Check = engineCheck({
  id: 'value-not-representable',
  severity: 'warning',
  title: 'The controller keeps another value',
  page: {
    catches:
      'A value, cell or breakpoint that falls between two counts of its field. One finding speaks for a table, at the cell that is rounded most. It is information where the rounding is a small share of the value; of a table, of its largest value.',
    why: 'The engine runs on what is stored, not on what is written. Whoever compares the two later, or sums up small corrections, works with numbers that no controller ever had.',
    example:
      'ignition:\n  advance: { unit: deg, values: [[18.3, 32]] }   # kept as i8 with 0.5 deg a count: 18.5 deg',
    remedy:
      'Write the value that is kept; the fix does it. Where that is too coarse, the field needs another scale.',
    basis:
      'Arithmetic: offset plus count times scale. From what share it matters is common practice, no source.',
  },
  settings: {
    share: {
      kind: 'ratio',
      value: '1 %',
      meaning: 'Rounding by more than this share of the value is a warning.',
    },
  },
  *find({ installation }, { share }) {
    for (const kept of keptParts(installation)) {
      const { coding, written } = kept;
      if (!coding) continue;
      const rounded = storedNumbers(kept, coding).filter(
        ({ stored }) => !stored.isExact && !stored.overflows,
      );
      const worst = worstBy(rounded, (one) => Math.abs(errorOf(one)));
      if (!worst) continue;
      const error = errorOf(worst);
      const largest = maximumOf(written.numbers.map(({ canonical }) => Math.abs(canonical)));
      const { number } = worst;
      const by = `${formatQuantity(Math.abs(error), differenceUnit(number.unit), 2)} ${error > 0 ? 'more' : 'less'}`;
      yield {
        at: number.node,
        severity: Math.abs(error) > share * largest ? 'warning' : 'information',
        message: `${isWritten(kept, number)}; the controller keeps ${keptText(worst)}, ${by}${andMore(kept, rounded.length - 1)}.`,
        related: worthOfCount(kept, coding, number.unit),
        fixes: writingKept(kept, coding, rounded, worst),
      };
    }
  },
});

/** The value that is kept, in the unit that is written. */
const inUnit = ({ number, stored }: StoredNumber): number =>
  number.unit === '' ? stored.canonical : toUnit(stored.canonical, number.unit);

/** As many decimals as say it to a hundred-millionth. */
const exactly = (number: number) => spellingWithin([number], 1e-6 * Math.abs(number));

function keptText(one: StoredNumber): string {
  const number = inUnit(one);
  return `${spell(number, { ...exactly(number), padded: false })} ${one.number.unit}`.trim();
}

/** Writes the values that are kept into all numbers that are rounded, each spelled like its row. */
function writingKept(
  kept: KeptPart,
  coding: Coding,
  rounded: readonly StoredNumber[],
  worst: StoredNumber,
): Fix[] {
  const { value, part, written } = kept;
  const nodes = rounded.map(({ number }) => number.node);
  if (value.type === 'table' && !standIn(value, nodes)) return [];
  if (part.name !== 'values' && mergedAt(kept, coding) !== undefined) return [];
  const edits: Edit[] = [];
  for (const one of rounded) {
    const row = written.numbers.filter(({ row }) => row === one.number.row).map(({ node }) => node.text);
    const like = row.length > 1 && value.type === 'table' ? spellingOf(row) : { decimals: 0, padded: false };
    const number = inUnit(one);
    const least = like.padded ? like.decimals : 0;
    const text = spell(number, { ...like, decimals: Math.max(least, exactly(number).decimals) });
    if (!store(coding, canonicalOf(text, one.number)).isExact) return [];
    edits.push(replace(spanInScalar(one.number.node, ...one.number.digits), text));
  }
  const title =
    rounded.length === 1
      ? `Write \`${keptText(worst)}\``
      : `Write what is kept in all ${rounded.length}, here \`${keptText(worst)}\``;
  return [{ title, safety: 'choice', edits }];
}

function canonicalOf(text: string, { unit }: WrittenNumber): number {
  return splitUnit(unit) ? fromUnit(Number(text), unit) : Number(text);
}

export const valueOverflowsStorage: Check = engineCheck({
  id: 'value-overflows-storage',
  severity: 'error',
  title: 'The controller cannot hold the value',
  page: {
    catches:
      'A value, cell or breakpoint beyond the least or greatest value that the type, scale and offset of its field can hold. One finding speaks for a table, at the cell that is furthest out.',
    why: 'What is too large starts again from the bottom or sticks at the end: a cell of 26 ms becomes 0.4 ms, and a cylinder runs lean.',
    example:
      'fuel:\n  cranking_pulse: { unit: ms, values: [32, 14] }   # kept as u8 with 0.1 ms a count: 25.5 ms at most',
    remedy:
      'Write a value that the controller can hold, or correct type, scale or offset in the controller file.',
    basis: 'Arithmetic: offset plus count times scale, over the counts of the type.',
  },
  *find({ installation }) {
    for (const kept of keptParts(installation)) {
      const { coding } = kept;
      if (!coding) continue;
      const outside = storedNumbers(kept, coding).filter(({ stored }) => stored.overflows);
      const worst = worstBy(outside, (one) => Math.abs(errorOf(one)));
      if (!worst) continue;
      const { number } = worst;
      const [low, high] = rangeOf(coding).map((end) => formatQuantity(end, number.unit, 6)) as [
        string,
        string,
      ];
      yield {
        at: number.node,
        message: `${isWritten(kept, number)}; its field holds ${low} to ${high}${andMore(kept, outside.length - 1)}.`,
        related: worthOfCount(kept, coding, number.unit),
      };
    }
  },
});

/** The first breakpoint that is kept as the same count as the one before it, or a lower one. */
function mergedAt(kept: KeptPart, coding: Coding): number | undefined {
  const numbers = storedNumbers(kept, coding);
  // Breakpoints beyond what the field can hold all end at its last count, and are said to be beyond it.
  if (numbers.some(({ stored }) => stored.overflows)) return undefined;
  const counts = numbers.map(({ stored }) => stored.raw * Math.sign(coding.step));
  const at = counts.findIndex((count, i) => i > 0 && count <= counts[i - 1]!);
  return at < 0 ? undefined : at;
}

export const breakpointsMergeInStorage: Check = engineCheck({
  id: 'breakpoints-merge-in-storage',
  severity: 'error',
  title: 'Two breakpoints become one in the controller',
  page: {
    catches:
      'Neighbouring breakpoints of a curve or map that are kept as the same count, although they are written apart.',
    why: 'The file is right and the stored axis does not rise: an interpolation between the two divides by zero, and which of the two columns is used is chance.',
    example:
      'x: { quantity: battery_voltage, unit: V, breakpoints: [13.4, 13.8] }   # kept as u8 with 1 V a count: 13 and 14; with 13.6 twice 14',
    remedy: 'Move the breakpoints at least one count apart, or give the axis of the field a finer scale.',
    basis: 'The format: breakpoints rise strictly. So must the ones that are stored.',
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
      const { raw } = store(coding, here.canonical);
      yield {
        at: here.node,
        message: `The breakpoints ${writtenText(before)} and ${writtenText(here)} of ${nameOf(value.node)} are both kept as the count ${formatNumber(raw, 10)}.`,
        related: [
          { at: before.node, message: 'The breakpoint before it.' },
          ...worthOfCount(kept, coding, here.unit),
        ],
      };
    }
  },
});
