import { listed } from '../checks/words.ts';
import { sameNumber } from '../configuration/same-value.ts';
import type { Value } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { groupedBy } from '../grouped-by.ts';
import { scaledValue } from '../physics/sensor-scaling.ts';
import {
  type ColumnFormat,
  columnInUnit,
  formatQuantity,
  formatStated,
  formatUnit,
  quantityColumn,
  splitUnit,
  toUnit,
} from '../quantity/index.ts';
import { pathText } from '../source/tree.ts';
import { type Change, isRenaming, type Step } from './change.ts';
import type { FindingConsequence } from './findings.ts';
import { type GridAxis, type GridDifference, placeInGrid } from './grid.ts';
import { type Item, type Leaf, leavesOf } from './item.ts';
import type { LimitMargin } from './limit-margin.ts';
import { isFurtherBeyond } from './limit-margin.ts';
import { plainText } from './same.ts';
import { ratioText, relativeStepTexts, stepPair, stepText, stepUnit } from './step.ts';
import type { ValueConsequence } from './values.ts';

/** `Fuel › Injectors › Static flow` */
export function placeName({ label }: Item): string {
  return label.length === 0 ? 'The whole file' : label.join(' › ');
}

/** The name of the place that changed: its place in the new file, or in the old one if it was removed. */
export function changePlace(change: Change): string {
  return placeName((change.is ?? change.was)!);
}

/** The change in one line, to follow the name of its place: `3 bar → 3.5 bar (+0.5 bar, +16.7 %)`. */
export function changeText(change: Change): string {
  if (change.type === 'table') return gridText(change.grid);
  if (change.type === 'value') {
    const step = change.step ? ` (${stepWords(change.step)})` : '';
    const { exchangedWith } = change;
    const exchange = exchangedWith ? `, exchanged with ${placeName(exchangedWith)}` : '';
    return `${leafText(change.was)} → ${leafText(change.is)}${step}${exchange}${readingText(change)}`;
  }
  if (isRenaming(change)) return renamingText(change);
  return change.type === 'added' ? `added: ${itemText(change.is)}` : `removed: ${itemText(change.was)}`;
}

/** `; the same input reads 24 instead of 20 kPa abs at 0.4 V` for a scaling, at the old points; otherwise empty. */
function readingText({ was: { value: was }, is: { value: is } }: Extract<Change, { type: 'value' }>): string {
  if (was?.type !== 'relation' || is?.type !== 'relation') return '';
  const [first] = is.points;
  const isAlike = [...was.points, ...is.points].every(
    ({ from, to }) =>
      from.unit?.dimension === 'voltage' &&
      to.unit?.dimension === first!.to.unit?.dimension &&
      to.reference === first!.to.reference,
  );
  if (!isAlike) return '';
  const points = is.points
    .map(({ from, to }) => ({ input: from.canonical, value: to.canonical }))
    .sort((a, b) => a.input - b.input);
  const reads = was.points.flatMap(({ from, to, key }) => {
    const now = scaledValue(points, from.canonical);
    if (now === undefined || sameNumber(now, to.canonical)) return [];
    const unit = to.unit ? formatUnit(to.unit, to.reference) : '';
    const column = columnInUnit([now, to.canonical], unit, 3);
    return [`${column(now)} instead of ${column(to.canonical)} ${unit} at ${key.text}`];
  });
  return reads.length === 0 ? '' : `; the same input reads ${listed(reads)}`;
}

/** `+0.5 bar, +16.7 %` */
export function stepWords(step: Step): string {
  return [stepText(step.canonical, step.unit), ratioText(step)].filter(Boolean).join(', ');
}

function renamingText({ type, was, references }: Extract<Change, { references: unknown }>): string {
  const from = pathText(was.path);
  const also = references.length === 0 ? '' : `, ${counted(references.length, 'reference')} updated`;
  return type === 'moved' ? `moved from ${from}` : `renamed from ${from}${also}`;
}

/** A value as it is written; of a section, its values. */
export function itemText(item: Item): string {
  if (item.type === 'leaf') return leafText(item);
  const leaves = leavesOf(item);
  if (leaves.length > MANY) return counted(leaves.length, 'value');
  const skip = item.path.length;
  return leaves.map((leaf) => `${pathText(leaf.path.slice(skip))} ${leafText(leaf)}`).join(', ') || 'empty';
}

const MANY = 8;

export function leafText({ value, node }: Leaf): string {
  return (value && boundText(value)) ?? (node.type === 'scalar' ? node.text : plainText(node));
}

function boundText(value: Value): string | undefined {
  if (value.type === 'relation') {
    return value.points.map(({ key, value: to }) => `${key.text}: ${to.text}`).join(', ');
  }
  if (value.type === 'table') {
    const size = value.isMap
      ? `map of ${value.rows[0]?.length ?? 0} × ${value.rows.length} cells`
      : undefined;
    return size ?? `curve of ${counted(value.rows[0]?.length ?? 0, 'cell')}`;
  }
  if (value.type === 'list' && value.node.items.every((item) => item.type === 'scalar')) {
    return `[${value.node.items.map((item) => (item.type === 'scalar' ? item.text : '')).join(', ')}]`;
  }
  return undefined;
}

/** `12 of 192 cells changed, +4.2 points at 5000 rpm, 145 kPa abs (85.0 → 89.2 %)` */
export function gridText(grid: GridDifference): string {
  const { moved, was, resampled, x, y } = grid;
  const size = y ? `${x.breakpoints.length} × ${y.breakpoints.length}` : String(x.breakpoints.length);
  const how = resampled ? `breakpoints changed, compared at the old and new ones (${size}): ` : '';
  if (moved.length === 0) return `${how}all values equal`;
  const extremes = [extremeText(grid, grid.rise), extremeText(grid, grid.fall)].filter(Boolean);
  return `${how}${moved.length} of ${counted(was.length, 'cell')} changed, ${listed(extremes)}`;
}

function extremeText(grid: GridDifference, index: number | undefined): string {
  if (index === undefined) return '';
  const [was, is] = [grid.was[index]!, grid.is[index]!];
  return `${stepText(is - was, stepUnit(grid.unit))} at ${cellText(grid, index)} (${cellPair(grid, was, is)})`;
}

/** `88.2 → 91.2 %`, with as many digits as it takes to tell them apart. */
function cellPair({ unit }: GridDifference, was: number, is: number): string {
  const [pair] = distinctPairs([[was, is]], (numbers, digits) => columnInUnit(numbers, unit, digits));
  return `${pair!.join(' → ')} ${unit}`.trimEnd();
}

type NumberPair = readonly [was: number | undefined, is: number | undefined];
export type TextPair = readonly [was: string, is: string];

/**
 * Pairs of numbers with the same count of decimals, and with enough digits to tell the two numbers of each pair apart.
 */
function distinctPairs(
  pairs: readonly NumberPair[],
  columnOf: (numbers: readonly number[], digits: number) => ColumnFormat,
): TextPair[] {
  const numbers = pairs.flat().filter((number) => number !== undefined);
  const texts = (digits: number): TextPair[] => {
    const format = columnOf(numbers, digits);
    const text = (number: number | undefined) => (number === undefined ? 'not derived' : format(number));
    return pairs.map(([was, is]) => [text(was), text(is)]);
  };
  const areDistinct = (some: readonly TextPair[]) =>
    some.every(([was, is], i) => was !== is || !differ(pairs[i]!));
  return DIGITS.map(texts).find(areDistinct) ?? texts(DIGITS[0]!);
}

const DIGITS = [3, 4, 5, 7, 10];

const differ = ([was, is]: NumberPair): boolean =>
  was !== undefined && is !== undefined && !sameNumber(was, is);

/** `5000 rpm, 145 kPa abs` */
export function cellText(grid: GridDifference, index: number): string {
  const { row, column } = placeInGrid(grid, index);
  const at = [breakpointText(grid.x, column)];
  if (grid.y) at.push(breakpointText(grid.y, row));
  return at.join(', ');
}

function breakpointText({ breakpoints, unit }: GridAxis, index: number): string {
  return formatStated(breakpoints[index]!, unit);
}

/** A canonical number in a unit; unchanged if the unit is empty or a compound SI unit. */
export function inUnit(canonical: number, unit: string): number {
  return splitUnit(unit) ? toUnit(canonical, unit) : canonical;
}

/** Old and new value, with as many digits as it takes to tell them apart. */
export function valuePair(value: ValueConsequence): TextPair {
  return valuePairs([value])[0]!;
}

/** The same for values that are printed below each other, with the same count of decimals. */
export function valuePairs(values: readonly ValueConsequence[]): TextPair[] {
  const units = new Set(values.flatMap(({ was, is }) => [was, is].flatMap((one) => one?.show ?? [])));
  if (units.size > 1 && values.length > 1) return values.map(valuePair);
  const [unit = ''] = units;
  return distinctPairs(
    values.map(({ was, is }) => [was?.canonical, is?.canonical]),
    (numbers, digits) => quantityColumn(numbers, unit, digits),
  );
}

/** `at most 85 % (allowed duty)`; empty without a limit. */
export function limitText({ limit, is, was }: ValueConsequence): string {
  if (!limit) return '';
  return `at ${limit.side} ${formatQuantity(limit.canonical, (is ?? was)!.show)} (${limit.label})`;
}

/** Old and new value and change of each value, aligned with the others of the same label. */
export function valueTexts(
  values: readonly ValueConsequence[],
): ReadonlyMap<ValueConsequence, readonly [was: string, is: string, moved: string]> {
  const rows = [...groupedBy(values, ({ label }) => label).values()].flatMap((some) => {
    const pairs = valuePairs(some);
    const moves = relativeStepTexts(some.map(({ step }) => step));
    return some.map((value, i) => [value, [...pairs[i]!, moves[i]!]] as const);
  });
  return new Map(rows);
}

/** The limit that all of the values have in common; empty if there is none. */
export function commonLimit(values: readonly ValueConsequence[]): string {
  const limits = new Set(values.map(limitText));
  return limits.size === 1 ? limitText(values[0]!) : '';
}

/** `margin 14 → 2 points`; empty without a limit. */
export function marginText({ limit, is, was }: ValueConsequence): string {
  if (!limit) return '';
  const unit = stepUnit((is ?? was)!.show);
  if (limit.is === undefined) return is ? 'limit removed' : 'margin unknown';
  if (limit.was === undefined) return `margin ${stepText(limit.is, unit).replace('+', '')}`;
  return `margin ${stepPair(limit.was, limit.is, unit)}${usedText(limit.was, limit.is)}`;
}

/** ` (−85 %)`, the part of a margin that a change takes; empty where it takes none or more than all. */
export const usedText = (was: number, is: number): string =>
  was > 0 && is >= 0 && is < was ? ` (${ratioText({ ratio: is / was - 1 })})` : '';

/** Whether the value passed its limit or is back within it; empty otherwise. */
export function limitWords(limit: LimitMargin): string {
  const { was, is, accepted } = limit;
  if (is === undefined) return '';
  if (is < 0) {
    const words = was === undefined || was >= 0 ? 'now' : isFurtherBeyond(limit) ? 'further' : 'still';
    return `${words} beyond the limit${accepted === undefined ? '' : ', accepted'}`;
  }
  if (was === undefined) return '';
  return was < 0 ? 'back within the limit' : '';
}

/**
 * `margin 14 → −2 points, at most 85 % (allowed duty), now beyond the limit`; without the limit if it is the `known`
 * one.
 */
export function limitSentence(value: ValueConsequence, known = ''): string {
  const limit = limitText(value);
  const words = value.limit ? limitWords(value.limit) : '';
  return [marginText(value), limit === known ? '' : limit, words].filter(Boolean).join(', ');
}

/** The operating point or place of a value. */
export function valuePlace({ point, at, moved, is, was }: ValueConsequence): string {
  const note = (is ?? was)!.note;
  const others = moved > 1 ? ` and ${counted(moved - 1, 'other')}` : '';
  return (point ?? note ?? at.replace(/^operating_points\./, '')) + others;
}

/** `new error`, `accepted warning`, … */
export function findingWords({ was, is, severity, severityWas }: FindingConsequence): string {
  if (is === 'none') return `${severity} no longer reported`;
  if (is === 'accepted')
    return was === 'accepted' ? `accepted ${severity}, reason changed` : `newly accepted ${severity}`;
  if (was === 'accepted') return `${severity} no longer accepted`;
  return severityWas ? `${severity}, was ${severityWas}` : `new ${severity}`;
}
