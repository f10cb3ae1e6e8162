import { maximumOf } from '../../shared/extremes.ts';
import { hexAddress, hexText } from '../../shared/image/memory.ts';
import { minus, nearestDouble, over } from '../../shared/quantity/exact.ts';
import { differenceUnit, exactToUnit, formatNumber, splitUnit } from '../../shared/quantity/index.ts';
import type { StorageImage } from '../../shared/storage/image.ts';
import { addressOf } from '../../shared/storage/layout.ts';
import type { StoredCell, StoredPart } from '../../shared/storage/stored-parts.ts';
import { padEnd, padStart } from './layout.ts';

/** What the controller keeps of a number, in the unit in which it is written, or its word. */
function keptValue({ number, word }: StoredCell, unit: string): number | string {
  return number ? nearestDouble(exactToUnit(number.kept, splitUnit(unit)?.unit)) : word!;
}

/** The largest difference between what is written and what is kept, in the unit that is written. */
function largestError({ cells, unit }: StoredPart): number {
  const factor = splitUnit(unit)?.unit.exactFactor;
  const errors = cells.map(({ number }) => {
    if (!number) return 0;
    const error = minus(number.kept, number.exact);
    return Math.abs(nearestDouble(factor ? over(error, factor) : error));
  });
  return maximumOf(errors);
}

/** For programs. Addresses count from the base address; keys may be added, but none removed. */
export function listingJson(image: StorageImage): string {
  const { window, bytes, digest, parts, checksums, identity } = image;
  const fields = parts.map((stored) => {
    const { key, part, cells, unit, rows, columns } = stored;
    const [start, end] = [part.at.canonical, addressOf(part, part.rows, 0)];
    return {
      path: key,
      part: part.name,
      at: start,
      bytes: hexText(bytes.subarray(start, end)),
      rows,
      columns,
      raw: cells.map(({ raw }) => raw),
      values: cells.map((cell) => keptValue(cell, unit)),
      unit: unit || '1',
      largest_error: largestError(stored),
    };
  });
  const listing = {
    base_address: window.base,
    size: window.size,
    digest,
    ...(identity && { identity: { at: identity.start, text: identity.text } }),
    fields,
    checksums: checksums.map(({ kind, start, value }) => ({ kind, at: start, value })),
  };
  return `${JSON.stringify(listing, null, 2)}\n`;
}

/** For people: a line for each block of numbers, in the order of the addresses. */
export function listingText(image: StorageImage): string {
  const { window, digest, parts, checksums, identity } = image;
  const rows = parts.map((stored) => {
    const { key, part, cells, unit, rows, columns } = stored;
    const name = part.name === 'values' ? key : `${key} (${part.name})`;
    const [first] = cells;
    const count = cells.length === 1 ? '' : rows === 1 ? `${columns} values` : `${columns} x ${rows} values`;
    const error = largestError(stored);
    const rounding =
      error > 0 ? `rounded by up to ${formatNumber(error, 2)} ${differenceUnit(unit)}`.trimEnd() : '';
    const single = cells.length === 1 ? `${keptValue(first!, unit)} ${unit}`.trim() : '';
    return [part.at.canonical, name, [single || count, rounding].filter(Boolean).join(', ')] as const;
  });
  const others = checksums.map(({ start, kind, value }) => [start, kind, hexAddress(value)] as const);
  const named = identity ? [[identity.start, 'identity', identity.text] as const] : [];
  const all = [...rows, ...named, ...others].sort((a, b) => a[0] - b[0]);
  const width = maximumOf(all.map(([, name]) => name.length));
  const lines = all.map(([at, name, text]) =>
    `${padStart(hexAddress(at), 6)}  ${padEnd(name, width)}  ${text}`.trimEnd(),
  );
  return [`${window.size} bytes from ${hexAddress(window.base)}, digest ${digest}`, '', ...lines, ''].join(
    '\n',
  );
}
