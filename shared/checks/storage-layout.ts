import { capital } from '../capital.ts';
import { sizeFaults } from '../storage/image.ts';
import { checksumsOf, imageSize, type Region, regionsOf } from '../storage/layout.ts';
import { type Check, controllerCheck } from './check.ts';

/** `0x0100`; a fraction or a negative number stays as it is. */
const hex = (address: number): string =>
  Number.isInteger(address) && address >= 0
    ? `0x${address.toString(16).toUpperCase().padStart(4, '0')}`
    : String(address);

/** `0x0100..0x01FF`, both included. */
const span = (start: number, end: number): string =>
  end - start === 1 ? hex(start) : `${hex(start)}..${hex(end - 1)}`;

const bytes = (count: number): string => `${count} ${count === 1 ? 'byte' : 'bytes'}`;

/** The maximum number of other regions that a finding names: thousands of fields may have the same address. */
const MOST_RELATED = 8;

export const fieldsOverlap: Check = controllerCheck({
  id: 'fields-overlap',
  severity: 'error',
  title: 'Overlapping storage fields',
  page: {
    catches:
      'A storage field, breakpoints included, that shares bytes with another field or with the checksum. The finding is at the one with the higher address.',
    why: 'The value that is written last overwrites the other. The engine then runs on numbers that nobody chose.',
    example:
      'fields:\n  fuel.target_lambda: { at: 0x0100, type: u16, rows: 16, columns: 16 }\n  ignition.advance: { at: 0x0200, type: i16, rows: 16, columns: 16 }   # the one before ends at 0x02FF',
    remedy:
      'Correct the addresses, types or sizes from the documentation of the controller. If two tables share an axis in the controller, accept the finding with that reason.',
    basis: 'Arithmetic: a part occupies rows times columns times the bytes of its type.',
  },
  *find({ storage }) {
    if (!storage) return;
    const regions = regionsOf(storage)
      .filter(({ start, end }) => end > start)
      .sort((a, b) => a.start - b.start || a.end - b.end);
    // The one that ends last comes first.
    let open: Region[] = [];
    for (const region of regions) {
      const others = open.filter(({ end }) => end > region.start);
      open = [...others, region].sort((a, b) => b.end - a.end).slice(0, MOST_RELATED);
      const [other] = others;
      if (!other) continue;
      const end = Math.min(region.end, other.end);
      yield {
        at: region.node,
        message: `${capital(region.label)} occupies ${span(region.start, region.end)} and ${other.label} ${span(other.start, other.end)}; they share ${bytes(end - region.start)}, ${span(region.start, end)}.`,
        related: others.map((one) => ({ at: one.node, message: `${capital(one.label)} begins here.` })),
      };
    }
  },
});

export const fieldOutsideImage: Check = controllerCheck({
  id: 'field-outside-image',
  severity: 'error',
  title: 'Storage field outside image',
  page: {
    catches: 'A field, its breakpoints or the checksum that ends after the last byte of the image.',
    why: 'Bytes beyond the end are not written, or they overwrite something else in the controller’s memory.',
    example:
      'storage:\n  size: 4096 byte\n  fields:\n    ignition.advance: { at: 0x0F00, type: i16, rows: 16, columns: 16 }   # ends at 0x10FF',
    remedy: 'Correct the address or the size of the field, or the size of the image.',
    basis: 'Arithmetic: a part occupies rows times columns times the bytes of its type.',
  },
  *find({ storage }) {
    const size = storage && imageSize(storage);
    if (!storage?.size || size === undefined) return;
    for (const region of regionsOf(storage)) {
      if (region.end <= size && region.start >= 0) continue;
      yield {
        at: region.node,
        message: `${capital(region.label)} occupies ${span(region.start, region.end)}, beyond the end of the image at ${hex(size - 1)}.`,
        related: [{ at: storage.size.node, message: 'Size of the image.' }],
      };
    }
  },
});

export const sizeNotWhole: Check = controllerCheck({
  id: 'size-not-whole',
  severity: 'error',
  title: 'Size not in whole bytes',
  page: {
    catches: 'A size of the image, or a length of the identity, that is not a whole number of bytes.',
    why: 'No memory has such a size. Whoever rounds it chooses where the image ends.',
    example: 'storage:\n  size: 4100 bit   # 512.5 bytes',
    remedy: 'Write the size in bytes, from the documentation of the controller.',
    basis: 'Arithmetic: a byte has 8 bits.',
  },
  *find({ storage }) {
    for (const { node, message } of storage ? sizeFaults(storage) : []) yield { at: node, message };
  },
});

export const checksumRangeWrong: Check = controllerCheck({
  id: 'checksum-range-wrong',
  severity: 'error',
  title: 'Invalid checksum range',
  page: {
    catches: 'A checksum range that is reversed, ends beyond the image, or includes the checksum itself.',
    why: 'A checksum that includes itself can never be right, because writing it changes its own input. The controller rejects the image, or the checksum protects nothing.',
    example: 'storage:\n  size: 4096 byte\n  checksum: { kind: crc-32, at: 0x0FFC, over: 0x0000..0x0FFF }',
    remedy: 'End the range before the checksum, or move the checksum.',
    basis: 'Arithmetic.',
  },
  *find({ storage }) {
    if (!storage) return;
    const size = imageSize(storage);
    for (const { label, over, start, end, node } of checksumsOf(storage)) {
      const name = capital(label);
      if (over.end <= over.start) {
        yield {
          at: over.node,
          message: `The checksum range ends at ${hex(over.end - 1)}, before its start at ${hex(over.start)}.`,
        };
      } else if (size !== undefined && over.end > size) {
        const message = `${name} covers ${span(over.start, over.end)}, beyond the end of the image at ${hex(size - 1)}.`;
        yield { at: over.node, message };
      } else if (start < over.end && end > over.start) {
        yield {
          at: over.node,
          message: `${name} covers ${span(over.start, over.end)}, which includes its own bytes ${span(start, end)}.`,
          related: [{ at: node, message: 'Address of the checksum.' }],
        };
      }
    }
  },
});

export const fieldOutsideChecksum: Check = controllerCheck({
  id: 'field-outside-checksum',
  severity: 'warning',
  title: 'Storage field outside checksum',
  page: {
    catches: 'A storage field, or its breakpoints, with bytes that the checksum does not cover.',
    why: 'A corrupted byte there is not detected, so the controller starts with a damaged table.',
    example:
      'storage:\n  checksum: { kind: crc-32, at: 0x0FFC, over: 0x0000..0x0BFF }\n  fields:\n    ignition.advance: { at: 0x0C00, type: i16, rows: 16, columns: 16 }',
    remedy:
      'Correct the range of the checksum, or accept the finding if the controller does not include the field in its checksum.',
    basis: 'Common practice, no source.',
  },
  *find({ storage }) {
    if (!storage) return;
    const covers = checksumsOf(storage).map(({ over }) => over);
    if (covers.length === 0 || covers.some(({ start, end }) => end <= start)) return;
    for (const region of regionsOf(storage)) {
      const { label, node, start, end } = region;
      const inner = covers.filter((over) => start < over.end && end > over.start);
      if ('kind' in region || inner.some((over) => start >= over.start && end <= over.end)) continue;
      const [over] = inner.length > 0 ? inner : covers;
      yield {
        at: node,
        message: `${capital(label)} occupies ${span(start, end)}; the checksum covers only ${span(over!.start, over!.end)}.`,
        related: [{ at: over!.node, message: 'Range of the checksum.' }],
      };
    }
  },
});
