import { capital } from '../capital.ts';
import {
  type Bounds,
  boundsOf,
  cellsOf,
  isInside,
  onScaleOf,
  shiftedNumber,
  usualUnits,
} from '../configuration/bounds.ts';
import { eachReading, type ReadingOf } from '../configuration/readings.ts';
import type { Axis, QuantityValue, TableValue } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { memo } from '../memo.ts';
import {
  formatQuantity,
  formatStated,
  formatUnit,
  fromUnit,
  isFault,
  type Kind,
  type MeasuredQuantity,
  measuredQuantity,
  parseAs,
  parseRange,
  printQuantity,
  type Quantity,
  splitUnit,
} from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import type { ScalarNode } from '../source/tree.ts';
import { type Fix, type Found, fileCheck, type Subject } from './check.ts';
import { LIMITS } from './form-types.ts';
import {
  nameOf,
  quote,
  repeatedFinding,
  rewriting,
  scalarText,
  textBeside,
  valueText,
} from './form-words.ts';

export const valueOutOfPhysicalRange = fileCheck({
  id: 'value-out-of-physical-range',
  severity: 'error',
  title: 'Physically impossible value',
  page: {
    catches:
      'A number outside the physical range of its key: a duty of 140 %, an absolute pressure below zero, a temperature below ' +
      'absolute zero, a negative bore. Cells of curves and maps are included. If a wrong unit or a misplaced decimal point ' +
      'explains the number, `suspicious-magnitude` reports it instead.',
    why: 'Every number computed from it would be wrong. A single impossible value is therefore left out, and so is everything that is computed from it.',
    example: 'fuel:\n  injectors: { maximum_duty: 140 % }',
    remedy: 'Correct the number or its unit. If another unit makes it a usual value, a fix offers that unit.',
    basis:
      'Physical ranges of the file format, wide enough that no engine of this size comes near them. Common practice, no source.',
  },
  *find(subject) {
    for (const fault of subject.structure) {
      if (fault.type !== 'wrong-type' || !LIMITS.has(fault.keyword) || fault.node.type !== 'scalar') continue;
      const { limit, comparison } = fault.params as { limit: number; comparison: string };
      const edge = comparison.startsWith('<') ? 'maximum' : 'minimum';
      if (fault.repeated) {
        yield repeatedFinding(fault.repeated, `its own ${edge} is ${limit}`, fault.node);
        continue;
      }
      yield {
        at: fault.node,
        message: `${capital(nameOf(fault.node))} is ${fault.node.text}; the ${edge} is ${limit}.`,
      };
    }
    yield* standingIn(subject, outOfRangeEach(subject.read, undefined));
  },
});

const outOfRangeEach = eachReading(['table', 'relation', 'quantity', 'range'], outOfRange);

/** Findings in the file itself, not in its base files. */
export const standingIn = ({ path }: Subject, found: readonly Found[]): Found[] =>
  found.filter(({ at }) => at.chunk.file === path);

function outOfRange({
  shape,
  value,
  node,
}: ReadingOf<'table' | 'relation' | 'quantity' | 'range'>): Iterable<Found> {
  if (value.type === 'table') {
    const physical = boundsOf(shape, 'physical', value.kind);
    return cellsOutOfRange(value, physical, boundsOf(shape, 'usual', value.kind));
  }
  if (value.type === 'relation')
    return value.points.flatMap(({ from, to, key, value: at }) => [...below(from, key), ...below(to, at)]);
  const bounds = boundsOf(shape, 'physical', value.kind);
  const [low, high] = value.type === 'quantity' ? [value.quantity, value.quantity] : [value.low, value.high];
  if (!bounds || (isInside(bounds, low) && isInside(bounds, high))) return below(low, value.node);
  const { text: written } = value.node;
  const text = value.type === 'quantity' ? textBeside(written, low, bounds) : valueText(written);
  const message = `${capital(nameOf(node))} is ${text}, outside the physical range of ${bounds.text}.`;
  const usual = boundsOf(shape, 'usual', value.kind);
  const fixes = value.type === 'quantity' ? (usual ? likelyReadings(value, usual) : asPercent(value)) : [];
  if (value.type === 'quantity' && isSlip(bounds, value, fixes)) return [];
  return [{ at: node, message, fixes }];
}

/** A ratio whose percent sign is missing, where no usual range is known. */
function asPercent({ node, kind, quantity }: QuantityValue): Fix[] {
  const [, end] = quantity.numberRange;
  const isPercent = kind === 'ratio' && !quantity.unit && quantity.number >= 0 && quantity.number <= 100;
  return isPercent ? [rewriting(node, [end, end], ' %', 'choice')] : [];
}

/** A ratio cannot exceed the whole, a number without a unit has no other scale, and data sizes and rates follow a standard. */
const HARD_KINDS: ReadonlySet<Kind> = new Set<Kind>(['ratio', 'number', 'data size', 'data rate']);

/** Whether a wrong unit or a misplaced decimal point explains an impossible value. */
function isSlip(physical: Bounds, { kind, quantity }: QuantityValue, fixes: readonly Fix[]): boolean {
  if (fixes.length === 0 || HARD_KINDS.has(kind) || floorAbove(quantity.canonical, quantity)) return false;
  return physical.low < 0 || onScaleOf(physical, quantity) > 0;
}

/** The lower bound of every pressure, temperature and resistance, whatever the key. */
function below(quantity: Quantity, node: ScalarNode): readonly Found[] {
  const floor = floorAbove(quantity.canonical, quantity);
  return floor ? [{ at: node, message: `${valueText(node.text)} is below ${floor}.` }] : [];
}

/** No air pressure at sea level has ever been higher: 1083.8 hPa at Agata in 1968 (WMO record, from memory). */
const HIGHEST_AMBIENT = 108_380;

/** The name of the lowest point of the scale, if the value is below it. A number in K may be a difference. */
function floorAbove(
  canonical: number,
  { unit, reference }: Pick<Quantity, 'unit' | 'reference'>,
): string | undefined {
  if (reference === 'gauge') return canonical < -HIGHEST_AMBIENT ? 'a perfect vacuum' : undefined;
  if (canonical >= 0) return undefined;
  if (reference === 'absolute') return 'a perfect vacuum';
  if (unit?.dimension === 'resistance') return 'zero ohms';
  return unit?.dimension === 'temperature' && unit.symbol !== 'K' ? 'absolute zero' : undefined;
}

/** One finding per table, on the first such cell: a wrong unit would make hundreds. */
function* cellsOutOfRange(
  table: TableValue,
  bounds: Bounds | undefined,
  usual: Bounds | undefined,
): Iterable<Found> {
  for (const axis of [table.x, table.y]) {
    if (axis) yield* sharesOutOfRange(axis);
    const read = axis && splitUnit(axis.unit);
    if (!read) continue;
    const floors = axis.breakpoints.map((point) => floorAbove(point, read));
    const index = floors.findIndex((floor) => floor !== undefined);
    const node = axis.nodes[index];
    if (node)
      yield { at: node, message: `${valueText(`${node.text} ${axis.unit}`)} is below ${floors[index]}.` };
  }
  // A wrong unit is reported once, at the unit, by `suspicious-magnitude`.
  if (!bounds || (usual && likelyTableUnits(table, usual, bounds).length > 0)) return;
  const { reference } = table;
  const outside = cellsOf(table).filter(({ canonical }) => !isInside(bounds, { canonical, reference }));
  const [first, ...others] = outside;
  if (!first) return;
  const value = `${first.node.text} ${table.unit}`.trim();
  const more =
    others.length === 0
      ? ''
      : ` ${counted(others.length, 'more cell')} of this table ${others.length > 1 ? 'are' : 'is'} also outside.`;
  yield {
    at: first.node,
    message: `${capital(nameOf(first.node))} is ${textBeside(value, { ...splitUnit(table.unit), canonical: first.canonical }, bounds)}, outside the physical range of ${bounds.text}.${more}`,
    related: others.slice(0, 5).map(({ node }) => ({ at: node, message: 'Also outside.' })),
  };
}

/** A position or duty is 0 to 100 %; 100 without a unit is 10000 %. */
function* sharesOutOfRange({ quantity, unit, breakpoints, nodes, node }: Axis): Iterable<Found> {
  if (measuredQuantity(quantity)?.entry.kind !== 'ratio') return;
  const at = nodes[breakpoints.findIndex((point) => point < 0 || point > 1 + TRIFLE)];
  if (!at) return;
  const inPercent = unit === '' && breakpoints.every((point) => point >= 0 && point <= 100);
  const edit = insertEntry(node, 'unit', { line: '"%"' }, node.entry('quantity'));
  yield {
    at,
    message: `${capital(nameOf(at))} is ${unit === '' ? `${at.text} without a unit, which is ${formatStated(breakpoints[nodes.indexOf(at)]!, '%')}` : valueText(`${at.text} ${unit}`)}, outside the physical range of 0..100 %.`,
    fixes: inPercent ? [{ title: 'Add `unit: "%"`', safety: 'choice', edits: [edit] }] : [],
  };
}

/** Allows for rounding when 100 % is written in another unit. */
const TRIFLE = 1e-9;

export const suspiciousMagnitude = fileCheck({
  id: 'suspicious-magnitude',
  severity: 'warning',
  title: 'Suspicious unit or decimal point',
  page: {
    catches:
      'A value far outside the usual range that would be inside it in another unit, or with its decimal point moved by one to ' +
      'three places: a rail pressure of `3.0 kPa` where 3.0 bar is meant. In a table, the median cell is checked, and each axis ' +
      'whose breakpoints are all far outside.',
    why:
      'Wrong units survive proofreading, because the digits are right. An injector flow that is wrong by a factor of 16.7 makes ' +
      'every pulse wrong by a factor of 16.7.',
    example: 'fuel:\n  rail: { pressure: 3.0 kPa }',
    remedy:
      'If the value is wrong, apply the fix with the value that was meant. If it is right, accept the finding with ' +
      '`# accept suspicious-magnitude: reason`.',
    basis: 'The usual range of each key. Common practice, no source.',
  },
  settings: {
    factor: {
      kind: 'number',
      value: '2',
      meaning: 'Factor by which a value must be outside the usual range to be reported.',
    },
  },
  *find(subject, { factor }) {
    yield* standingIn(subject, unusualEach(subject.read, factor));
  },
});

const unusualEach = eachReading(['quantity', 'table'], slipsIn);

/** The values of a reading that a wrong unit or a misplaced decimal point explains. */
export function slipsIn({ shape, value }: ReadingOf<'quantity' | 'table'>, factor: number): readonly Found[] {
  const usual = boundsOf(shape, 'usual', value.kind);
  const physical = boundsOf(shape, 'physical', value.kind);
  if (value.type === 'table') {
    const axes = [value.x, value.y].flatMap((axis) => (axis && unusualAxis(axis, factor)) ?? []);
    return usual ? [...axes, ...unusualTable(value, usual, physical, factor)] : axes;
  }
  if (!usual) return [];
  const isImpossible = physical !== undefined && !isInside(physical, value.quantity);
  if (!isImpossible && !isFar(usual, value.quantity, factor)) return [];
  const fixes = likelyReadings(value, usual);
  if (isImpossible && !isSlip(physical, value, fixes)) return [];
  const message = `${capital(nameOf(value.node))} is ${textBeside(value.node.text, value.quantity, usual)}, outside the usual range of ${usual.text}.`;
  return fixes.length > 0 ? [{ at: value.node, message, fixes }] : [];
}

/** On a scale with an arbitrary zero a factor is meaningless; any value outside is far. */
function isFar(
  usual: Bounds,
  quantity: Pick<Quantity, 'canonical' | 'reference' | 'unit'>,
  factor: number,
): boolean {
  if (isInside(usual, quantity)) return false;
  const at = onScaleOf(usual, quantity);
  if (quantity.unit?.dimension === 'temperature') return true;
  return at > usual.high * factor || at < (usual.low < 0 ? usual.low * factor : usual.low / factor);
}

/** The quantity in another unit, or with its decimal point moved, where that is usual: the likeliest first. */
function likelyReadings({ node, kind, quantity }: QuantityValue, usual: Bounds | undefined): Fix[] {
  if (!usual) return [];
  const [, numberEnd] = quantity.numberRange;
  const unitEnd = quantity.unitRange?.[1] ?? numberEnd;
  const written = quantity.unit ? formatUnit(quantity.unit, quantity.reference) : '';
  const units = usualUnits(kind, usual, quantity.number)
    .filter((unit) => unit !== written && referenceOf(unit) === referenceOf(written))
    .slice(0, 2)
    .map((unit) => rewriting(node, [numberEnd, unitEnd], unit && ` ${unit}`, 'choice'));
  if (quantity.unit?.dimension === 'temperature')
    return [...units.map((fix) => namingValue(fix, quantity)), ...withoutFirstDigit(node, quantity, usual)];
  const shifted = shiftedNumber(usual, quantity);
  return shifted === undefined ? units : [...units, rewriting(node, quantity.numberRange, shifted, 'choice')];
}

/** A temperature in another unit, with its value in the unit that the file uses: 160 °F is 71.1 °C. */
function namingValue(fix: Fix, { number, unit }: Quantity): Fix {
  const read = parseAs('temperature', fix.title.replace('Change to ', ''));
  if (isFault(read) || !unit || number === undefined) return fix;
  return { ...fix, title: `${fix.title}, which is ${formatQuantity(read.canonical, formatUnit(unit), 3)}` };
}

/** A temperature with a digit too many, such as 160 °C for 60 °C. */
function withoutFirstDigit(node: ScalarNode, quantity: Quantity, usual: Bounds): Fix[] {
  const text = node.text.slice(...quantity.numberRange);
  const rest = /^\d(\d\d.*)$/.exec(text)?.[1];
  if (rest === undefined || !quantity.unit) return [];
  const canonical = fromUnit(Number(rest), quantity.unit);
  return isInside(usual, { ...quantity, canonical })
    ? [rewriting(node, quantity.numberRange, String(Number(rest)), 'choice')]
    : [];
}

const referenceOf = (unit: string): string => / (abs|gauge)$/.exec(unit)?.[0] ?? '';

function* unusualTable(
  table: TableValue,
  usual: Bounds,
  physical: Bounds | undefined,
  factor: number,
): Iterable<Found> {
  const middle = middleCell(table);
  if (!middle) return;
  const isImpossible = physical !== undefined && !isInside(physical, middle.quantity);
  if (!isImpossible && !isFar(usual, middle.quantity, factor)) return;
  const likely = likelyUnitsOf(table, usual, middle.node);
  if (likely.length === 0) return;
  const value = `${middle.node.text} ${table.unit}`.trim();
  yield {
    at: table.unitNode ?? table.node,
    message: `The median value of ${nameOf(table.node)} is ${textBeside(value, middle.quantity, usual)}, outside the usual range of ${usual.text}.`,
    fixes: likely.map((text) => tableUnit(table, text)),
  };
}

/** An axis that is far outside the usual range throughout, if another unit or missing thousands explain it. */
export function unusualAxis({ node, quantity, unit, nodes }: Axis, factor: number): Found | undefined {
  const measured = measuredQuantity(quantity)?.entry;
  const usual = measured && usualBounds(measured);
  const numbers = nodes.map(({ value }) => value).filter((value) => typeof value === 'number');
  const symbol = splitUnit(unit)?.unit.symbol;
  if (!usual || symbol === undefined || numbers.length === 0 || numbers.length < nodes.length)
    return undefined;
  const isUsual = (number: number, text = unit) => isNear(usual, number, text, factor);
  const isFrozen = symbol === 'K' && numbers.some((number) => number < 0);
  if (!isFrozen && numbers.some((number) => isUsual(number))) return undefined;
  const fixes = [...otherUnits(), ...thousands()];
  const [first, last] = [numbers[0], numbers.at(-1)];
  const message = `${capital(nameOf(node))} ranges from ${first} to ${last} ${unit}, outside the usual range of ${usual.text}.`;
  return fixes.length > 0 ? { at: node.get('unit') ?? node, message, fixes } : undefined;

  function otherUnits(): Fix[] {
    const texts = usualUnits(measured!.kind, usual!, numbers.at(-1)!).filter(
      (text) => referenceOf(text) === referenceOf(unit) && numbers.every((number) => isUsual(number, text)),
    );
    return texts.slice(0, 2).map((text) => ({
      title: `Change to ${quote(`unit: ${scalarText(text)}`)}`,
      safety: 'choice' as const,
      edits: [replace(node.get('unit')!, scalarText(text))],
    }));
  }

  /** Speeds are often written in thousands, for which there is no unit. */
  function thousands(): Fix[] {
    const texts = numbers.map((number) => printQuantity(Number((number * 1000).toPrecision(12)), ''));
    if (measured!.kind !== 'rotational speed' || !texts.every((text) => isUsual(Number(text)))) return [];
    const edits = nodes.map((one, i) => replace(one, texts[i]!));
    return [{ title: `Change to ${quote(`breakpoints: [${texts.join(', ')}]`)}`, safety: 'choice', edits }];
  }
}

const usualBounds = memo(({ kind, usual }: MeasuredQuantity): Bounds | undefined => {
  const range = usual === undefined ? undefined : parseRange(kind, usual);
  if (!range || isFault(range)) return undefined;
  const { low, high } = range;
  return { text: usual!, low: low.canonical, high: high.canonical, reference: high.reference };
});

function middleCell(table: TableValue) {
  const cells = cellsOf(table).sort((a, b) => a.canonical - b.canonical);
  const middle = cells[cells.length >> 1];
  if (!middle) return undefined;
  const { node, canonical } = middle;
  const unit = splitUnit(table.unit)?.unit;
  const { reference } = table;
  return { node, quantity: { canonical, ...(unit && { unit }), ...(reference && { reference }) } };
}

/** The factor outside the usual range that a cell may have in the unit that was probably meant. */
const NEAR = 2;

/** The units in which the whole table would be near the usual range: the likeliest two. */
function likelyUnitsOf(table: TableValue, usual: Bounds, middle: ScalarNode): string[] {
  const numbers = cellsOf(table).map(({ node }) => Number(node.value));
  return usualUnits(table.kind, usual, Number(middle.value))
    .filter(
      (text) =>
        text !== table.unit &&
        referenceOf(text) === referenceOf(table.unit) &&
        numbers.every((number) => isNear(usual, number, text, NEAR)),
    )
    .slice(0, 2);
}

/** The same for a table whose median value is impossible in its unit. */
function likelyTableUnits(table: TableValue, usual: Bounds, physical: Bounds): string[] {
  const middle = middleCell(table);
  return !middle || isInside(physical, middle.quantity) ? [] : likelyUnitsOf(table, usual, middle.node);
}

function isNear(usual: Bounds, number: number, text: string, factor: number): boolean {
  const read = splitUnit(text);
  const canonical = read ? fromUnit(number, read.unit) : number;
  const reference = read?.reference;
  return !isFar(
    usual,
    { canonical, ...(read && { unit: read.unit }), ...(reference && { reference }) },
    factor,
  );
}

function tableUnit({ node, unitNode }: TableValue, text: string): Fix {
  const title = `Change to ${quote(`unit: ${scalarText(text)}`)}`;
  const edit = unitNode
    ? replace(unitNode, scalarText(text))
    : insertEntry(node, 'unit', { line: scalarText(text) }, node.entry('y') ?? node.entry('x'));
  return { title, safety: 'choice', edits: [edit] };
}
