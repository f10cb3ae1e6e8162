import { isFault, nearestWord, parseAs } from '../quantity/index.ts';
import type { PressureReference } from '../quantity/kinds.ts';
import { type RunQuantity, runQuantities, runQuantity } from './quantities.ts';

/** One column of the data, and how its numbers become canonical. */
export interface Column {
  /** As in the first line. */
  readonly name: string;
  /** The name of the quantity, with its number; undefined if the column is not used. */
  readonly quantity: string | undefined;
  /** As in the second line. */
  readonly unit: string;
  readonly type: 'number' | 'name' | 'flag' | 'unused';
  /** canonical = number · factor + offset, or number / divisor + offset if that rounds only once. */
  readonly factor: number;
  readonly divisor: number | undefined;
  readonly offset: number;
  readonly reference: PressureReference | undefined;
  /** Of a fuel flow. */
  readonly isVolume: boolean;
  /** Why the column is not used, as a sentence; undefined if it is used, or only unknown. */
  readonly problem: string | undefined;
}

/** The columns of a run's data, in the order of the file. */
export interface Columns {
  readonly all: readonly Column[];
  /** The position of a quantity's column; -1 if there is none. */
  place(quantity: string): number;
  /** The positions of all columns of a quantity, numbered or not. */
  places(quantity: string): readonly number[];
}

/**
 * Assigns quantities to columns by their names, or by `named`: names of the first line under the quantities. A column that is
 * not a quantity is left; one whose unit does not fit has a problem.
 */
export function columnsOf(
  names: readonly string[],
  units: readonly string[],
  named: ReadonlyMap<string, string>,
): Columns {
  const quantityOf = new Map([...named].map(([quantity, name]) => [name.trim(), quantity]));
  const taken = new Map<string, string>();
  const all = names.map((written, i): Column => {
    const name = written.trim();
    const unit = unbracketed(units[i] ?? '');
    const quantity = quantityOf.get(name) ?? (named.has(name) ? undefined : name);
    const known = quantity === undefined ? undefined : runQuantity(quantity);
    if (quantity === undefined || !known) return unused(name, unit);
    const earlier = taken.get(quantity);
    if (earlier !== undefined)
      return unused(name, unit, `Column \`${name}\` is left out: \`${earlier}\` already holds ${quantity}.`);
    const column = columnOf(name, unit, quantity, known);
    if (column.type !== 'unused') taken.set(quantity, name);
    return column;
  });
  const places = new Map(all.flatMap(({ quantity }, i) => (quantity === undefined ? [] : [[quantity, i]])));
  return {
    all,
    place: (quantity) => places.get(quantity) ?? -1,
    places: (quantity) =>
      [...places].flatMap(([name, i]) => (name === quantity || name.startsWith(`${quantity}[`) ? [i] : [])),
  };
}

const unused = (name: string, unit: string, problem?: string): Column => ({
  ...{ name, quantity: undefined, unit, type: 'unused', factor: 1, divisor: undefined, offset: 0 },
  ...{ reference: undefined, isVolume: false, problem },
});

function columnOf(name: string, unit: string, quantity: string, { kind }: RunQuantity): Column {
  const plain = { ...unused(name, unit), quantity };
  if (kind === 'name' || kind === 'flag') return { ...plain, type: kind };
  const read = parseAs(kind, `1 ${unit}`.trim());
  if (isFault(read)) {
    const why = unit === '' ? 'has no unit in the second line' : `has the unit \`${unit}\``;
    return unused(
      name,
      unit,
      `Column \`${name}\` is left out: it ${why}, which does not fit ${quantity}${example(kind)}.`,
    );
  }
  const { factor = 1, offset = 0, dimension } = read.unit ?? {};
  const divisor = Math.round(1 / factor);
  return {
    ...plain,
    type: 'number',
    factor,
    divisor: factor < 1 && 1 / divisor === factor ? divisor : undefined,
    offset,
    reference: read.reference,
    isVolume: dimension === 'volume flow',
  };
}

const example = (kind: string): string =>
  kind.includes('pressure') ? '; a pressure states its reference, such as `kPa abs`' : '';

/** `[rpm]`, `(rpm)` and `rpm`; a dash or a 1 means no unit. */
function unbracketed(written: string): string {
  const unit = written
    .trim()
    .replace(/^[[(](.*)[\])]$/, '$1')
    .trim();
  return /^[-–—1]?$/.test(unit) ? '' : unit;
}

/** What is wrong with the entries of `columns` in a run file: unknown quantities, and names that the first line does not have. */
export function problemsOfNames(names: readonly string[], named: ReadonlyMap<string, string>): string[] {
  const trimmed = new Set(names.map((name) => name.trim()));
  return [...named].flatMap(([quantity, name]) => {
    if (!runQuantity(quantity)) {
      const nearest = nearestWord(
        quantity,
        runQuantities.map((one) => one.name),
      );
      return [`\`columns.${quantity}\` is not a quantity${nearest ? `; did you mean \`${nearest}\`?` : '.'}`];
    }
    return trimmed.has(name.trim())
      ? []
      : [`The first line has no column \`${name}\` (columns.${quantity}).`];
  });
}
