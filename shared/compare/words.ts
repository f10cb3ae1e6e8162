import { listed } from '../checks/words.ts';
import type { Value } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import type { DerivedValue } from '../derived/value.ts';
import { formatNumber, formatQuantity, formatStated, splitUnit, toUnit } from '../quantity/index.ts';
import { pathText } from '../source/tree.ts';
import { type Change, isRenaming, type Step } from './change.ts';
import type { FindingConsequence } from './findings.ts';
import { type GridAxis, type GridDifference, placeInGrid } from './grid.ts';
import { type Item, type Leaf, leavesOf } from './item.ts';
import { plainText } from './same.ts';
import { ratioText, stepText, stepUnit } from './step.ts';
import type { LimitMargin, ValueConsequence } from './values.ts';

/** `Fuel › Injectors › Static flow` */
export function placeName({ label }: Item): string {
  return label.length === 0 ? 'The whole file' : label.join(' › ');
}

/** The name of the place that a change is told at: where it stands now, or stood. */
export function changePlace(change: Change): string {
  return placeName((change.is ?? change.was)!);
}

/** What a change did, in one line behind the name of its place: `3 bar → 3.5 bar (+0.5 bar, +16.7 %)`. */
export function changeText(change: Change): string {
  if (change.type === 'table') return gridText(change.grid);
  if (change.type === 'value') {
    const step = change.step ? ` (${stepWords(change.step)})` : '';
    return `${leafText(change.was)} → ${leafText(change.is)}${step}`;
  }
  if (isRenaming(change)) return renamingText(change);
  return change.type === 'added'
    ? `added: ${itemText(change.is)}`
    : `removed; it was ${itemText(change.was)}`;
}

/** `+0.5 bar, +16.7 %` */
export function stepWords(step: Step): string {
  return [stepText(step.canonical, step.unit), ratioText(step)].filter(Boolean).join(', ');
}

/** `+16.7 %`, or `+1.5 K` where no per cent say something. */
export function movedText(step: Step | undefined): string {
  // What stood still has a step of nothing where its limit alone moved.
  return step && step.canonical !== 0 ? ratioText(step) || stepText(step.canonical, step.unit) : '';
}

function renamingText({ type, was, references }: Extract<Change, { references: unknown }>): string {
  const from = pathText(was.path);
  const also = references.length === 0 ? '' : `, with ${counted(references.length, 'reference')} to it`;
  return type === 'moved' ? `moved from ${from}` : `renamed, was ${from}${also}`;
}

/** A value as it is written; a section by what it holds. */
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
    const size = value.isMap ? `map ${value.rows[0]?.length ?? 0} × ${value.rows.length}` : undefined;
    return size ?? `curve of ${counted(value.rows[0]?.length ?? 0, 'point')}`;
  }
  if (value.type === 'list' && value.node.items.every((item) => item.type === 'scalar')) {
    return `[${value.node.items.map((item) => (item.type === 'scalar' ? item.text : '')).join(', ')}]`;
  }
  return undefined;
}

/** `12 of 192 cells moved, +4.2 points at 5000 rpm, 145 kPa abs (85 → 89.2 %)` */
export function gridText(grid: GridDifference): string {
  const { moved, was, resampled, x, y } = grid;
  const size = y ? `${x.breakpoints.length} × ${y.breakpoints.length}` : String(x.breakpoints.length);
  const how = resampled ? `new breakpoints; read at those of both (${size}): ` : '';
  if (moved.length === 0) return `${how}every value is the same`;
  const extremes = [extremeText(grid, grid.rise), extremeText(grid, grid.fall)].filter(Boolean);
  return `${how}${moved.length} of ${counted(was.length, 'cell')} moved, ${listed(extremes)}`;
}

function extremeText(grid: GridDifference, index: number | undefined): string {
  if (index === undefined) return '';
  const [was, is] = [grid.was[index]!, grid.is[index]!];
  return `${stepText(is - was, stepUnit(grid.unit))} at ${cellText(grid, index)} (${cellPair(grid, was, is)})`;
}

/** `88.2 → 91.2 %`, with as many digits as it takes to see them apart. */
function cellPair({ unit }: GridDifference, was: number, is: number): string {
  const text = (canonical: number, digits: number) => formatNumber(inUnit(canonical, unit), digits);
  const digits = [4, 5, 7, 10].find((count) => text(was, count) !== text(is, count)) ?? 4;
  return `${text(was, digits)} → ${text(is, digits)} ${unit}`.trimEnd();
}

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

/** A canonical number in a unit; as it is where the unit is empty or a compound one of SI. */
export function inUnit(canonical: number, unit: string): number {
  return splitUnit(unit) ? toUnit(canonical, unit) : canonical;
}

/** Old and new value, told with as many digits as it takes to see them apart. */
export function valuePair({ was, is }: Pick<ValueConsequence, 'was' | 'is'>): [was: string, is: string] {
  const text = (value: DerivedValue | undefined, digits: number) =>
    value ? formatQuantity(value.canonical, value.show, digits) : 'not derived';
  const digits = [3, 4, 5, 7, 10].find((count) => text(was, count) !== text(is, count)) ?? 4;
  return [text(was, digits), text(is, digits)];
}

/** `at most 85 % (allowed duty)`; empty without a limit. */
export function limitText({ limit, is, was }: ValueConsequence): string {
  if (!limit) return '';
  return `at ${limit.side} ${formatQuantity(limit.canonical, (is ?? was)!.show)} (${limit.label})`;
}

/** The limit of values that have one in common; empty where they have several or none. */
export function commonLimit(values: readonly ValueConsequence[]): string {
  const limits = new Set(values.map(limitText));
  return limits.size === 1 ? limitText(values[0]!) : '';
}

/** `room 14 → 2 points`; empty without a limit. */
export function roomText({ limit, is, was }: ValueConsequence): string {
  if (!limit) return '';
  const unit = stepUnit((is ?? was)!.show);
  const told = (margin: number) => stepText(margin, unit).replace('+', '');
  if (limit.is === undefined) return 'no limit any more';
  if (limit.was === undefined) return `room ${told(limit.is)}`;
  return `room ${withoutUnit(told(limit.was), told(limit.is))} → ${told(limit.is)}`;
}

/** A number whose unit is told right after it, with the next one. */
function withoutUnit(text: string, next: string): string {
  const [number, ...unit] = text.split(' ');
  return next.endsWith(unit.join(' ')) ? number! : text;
}

/** `beyond its limit`, `closer to its limit`; empty where there is nothing of that kind to say. */
export function limitWords({ was, is }: LimitMargin): string {
  if (is === undefined) return '';
  if (is < 0) return was !== undefined && was < 0 ? 'still beyond its limit' : 'now beyond its limit';
  if (was === undefined) return '';
  return was < 0 ? 'within its limit again' : '';
}

/** `room 14 → −2 points, at most 85 % (allowed duty), now beyond its limit`; what the reader knows may be left out. */
export function limitSentence(value: ValueConsequence, known = ''): string {
  const limit = limitText(value);
  const words = value.limit ? limitWords(value.limit) : '';
  return [roomText(value), limit === known ? '' : limit, words].filter(Boolean).join(', ');
}

/** Where a value is looked at. */
export function valuePlace({ point, at, moved, is, was }: ValueConsequence): string {
  const note = (is ?? was)!.note;
  const others = moved > 1 ? ` and ${counted(moved - 1, 'other')}` : '';
  return (point ?? note ?? at.replace(/^operating_points\./, '')) + others;
}

/** `new error`, `accepted warning`, … */
export function findingWords({ was, is, severity, severityWas }: FindingConsequence): string {
  if (is === 'none') return `gone ${severity}`;
  if (is === 'accepted')
    return was === 'accepted' ? `accepted ${severity}, another reason` : `newly accepted ${severity}`;
  if (was === 'accepted') return `${severity}, accepted no more`;
  return severityWas ? `${severity}, was ${severityWas}` : `new ${severity}`;
}
