import { capital } from '../capital.ts';
import { groupedBy } from '../grouped-by.ts';
import { splitUnit } from '../quantity/index.ts';
import { type Edit, replace } from '../source/edit.ts';
import { spanInScalar } from '../source/tree.ts';
import { MOST_DECIMALS, rawOf, textOfRaw } from './coding.ts';
import type { StorageImage } from './image.ts';
import { labelOf, type StorageFault, type StoredCell, type StoredPart } from './stored-parts.ts';
import type { CellDifference } from './verify.ts';

/** The edits that make a text say what an image holds, and what no edit of a number can say. */
export interface Homecoming {
  readonly edits: readonly Edit[];
  readonly faults: readonly StorageFault[];
}

/**
 * Brings changes made at the running engine into the text: each value that differs becomes an edit of its number, in the
 * unit of the text and with its decimals, or as many more as it takes to store the same count again.
 */
export function homecoming(built: StorageImage, differences: readonly CellDifference[]): Homecoming {
  const edits: Edit[] = [];
  const faults: StorageFault[] = [];
  const wanted = new Map(differences.map(({ cell, raw }) => [cell, raw]));
  const users = groupedBy(
    built.parts.flatMap((stored) => stored.cells.map((cell) => ({ stored, cell }))),
    ({ cell }) => placeOf(cell),
  );
  const done = new Set<string>();
  for (const { stored, cell, raw } of differences) {
    const place = placeOf(cell);
    if (done.has(place)) continue;
    done.add(place);
    const text = textOf(stored, cell, raw);
    if (text === undefined) {
      faults.push({
        node: cell.node,
        message: `${capital(labelOf(stored))} is ${countText(raw)} in the image, which the text cannot say.`,
      });
      continue;
    }
    // Map sets may share a value, and the image need not.
    const others = users
      .get(place)!
      .filter((user) => !isStoredAs(user.stored, user.cell, text, user.cell.raw, wanted));
    if (others.length > 0) {
      const names = others.map((other) => labelOf(other.stored)).join(', ');
      faults.push({
        node: cell.node,
        message: `${capital(labelOf(stored))} is ${text} in the image, but ${names} is another value there; in the text both are one.`,
      });
      continue;
    }
    const span = cell.number ? spanInScalar(cell.node, ...cell.number.written.digits) : cell.node;
    edits.push(replace(span, text));
  }
  return { edits, faults };
}

const placeIds = new WeakMap<object, number>();
let lastId = 0;

/** Identifies where a number is written: cells of several fields may be one number of the text. */
function placeOf({ node, number }: StoredCell): string {
  let id = placeIds.get(node);
  if (id === undefined) {
    id = ++lastId;
    placeIds.set(node, id);
  }
  return `${id} ${number?.written.digits[0] ?? ''}`;
}

const countText = (raw: number | undefined): string => (raw === undefined ? 'missing' : `the count ${raw}`);

/** Whether a text is stored as the count that the image has at this cell. */
function isStoredAs(
  stored: StoredPart,
  cell: StoredCell,
  text: string,
  own: number,
  wanted: ReadonlyMap<StoredCell, number | undefined>,
): boolean {
  const raw = wanted.has(cell) ? wanted.get(cell) : own;
  return rawOfText(stored, cell, text) === raw;
}

function rawOfText({ field, kept }: StoredPart, { number }: StoredCell, text: string): number | undefined {
  if (!number) return field.codes?.[text]?.canonical;
  return kept.coding && rawOf(kept.coding, text, splitUnit(number.written.unit)?.unit);
}

/** The text of a number or word for the count in the image; undefined if there is none. */
function textOf(stored: StoredPart, cell: StoredCell, raw: number | undefined): string | undefined {
  if (raw === undefined || !Number.isFinite(raw) || Object.is(raw, -0)) return undefined;
  const { number } = cell;
  if (!number) {
    const words = Object.entries(stored.field.codes ?? {}).filter(([, code]) => code.canonical === raw);
    return words.length === 1 ? words[0]![0] : undefined;
  }
  const { written } = number;
  const least = decimalsIn(written.node.text.slice(...written.digits));
  return textOfRaw(stored.kept.coding!, raw, splitUnit(written.unit)?.unit, least);
}

/** 2 for `0.50`, 0 for `1e3` and `0x20`. */
function decimalsIn(text: string): number {
  const [, fraction = '', exponent = '0'] = /^[-+]?\d*(?:\.(\d*))?(?:e([-+]?\d+))?$/i.exec(text) ?? [];
  return Math.min(MOST_DECIMALS, Math.max(0, fraction.length - Number(exponent)));
}
