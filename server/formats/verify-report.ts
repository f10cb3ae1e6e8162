import { cellPlace } from '../../shared/checks/tables.ts';
import { counted } from '../../shared/counted.ts';
import { hexAddress, hexText } from '../../shared/image/memory.ts';
import { nearestDouble } from '../../shared/quantity/exact.ts';
import { exactToUnit, formatNumber, splitUnit } from '../../shared/quantity/index.ts';
import { valueOfRaw } from '../../shared/storage/coding.ts';
import { type ByteDifference, type CellDifference, matches } from '../../shared/storage/verify.ts';
import { plainText } from '../plain-text.ts';
import type { TextLayout } from '../terminal.ts';
import type { Verification } from '../verification.ts';
import { compareJson } from './compare-json.ts';
import type { ComparedFile, Printing } from './compare-report.ts';
import { compareText } from './compare-text.ts';
import { padEnd, printable } from './layout.ts';

/** The number or word in the text, in the unit in which it is written. */
function fileValue({ cell: { number, word }, stored }: CellDifference): number | string {
  return number ? nearestDouble(exactToUnit(number.exact, splitUnit(stored.unit)?.unit)) : word!;
}

/** The number or word in the image, in the same unit; null if the image file does not contain it. */
function imageValue({ cell: { number }, stored, raw }: CellDifference): number | string | null {
  if (raw === undefined) return null;
  if (!number) {
    const word = Object.entries(stored.field.codes ?? {}).find(([, code]) => code.canonical === raw);
    return word ? word[0] : `code ${raw}`;
  }
  if (!Number.isFinite(raw) || Object.is(raw, -0)) return String(Object.is(raw, -0) ? '-0' : raw);
  return nearestDouble(exactToUnit(valueOfRaw(stored.kept.coding!, raw), splitUnit(stored.unit)?.unit));
}

/**
 * For programs. Addresses count from the base address, rows and columns from 0; keys may be added, but none removed. What
 * is `unsaid` no text can say, so the comparison is without it.
 */
export function verifyJson(found: Verification): string {
  const { differences, missing, homecoming } = found;
  const report = {
    matches: matches(differences),
    fields: differences.cells.map((one) => ({
      path: one.stored.key,
      part: one.stored.part.name,
      row: one.cell.row,
      column: one.cell.column,
      file: fileValue(one),
      image: imageValue(one),
      unit: one.stored.unit || '1',
    })),
    checksums: differences.checksums.map(({ checksum, stored, computed }) => ({
      kind: checksum.kind,
      at: checksum.start,
      stored,
      computed,
    })),
    elsewhere: differences.elsewhere.map(({ at, file, image }) => ({
      at,
      file: hexText(file),
      image: hexText(image),
    })),
    missing,
    unsaid: homecoming.faults.map(({ message }) => plainText(message)),
    comparison: comparisonJson(found),
  };
  return `${JSON.stringify(report, null, 2)}\n`;
}

const comparisonJson = (found: Verification) => {
  const file = comparedFile(found);
  return file ? compareJson.part(file, { paper: PLAIN, threshold: 'error', all: true }) : null;
};

/** Not used by the JSON. */
const PLAIN = {} as Printing['paper'];

function comparedFile({
  name,
  image,
  analysis,
  changed,
  comparison,
}: Verification): ComparedFile | undefined {
  if (!changed || !comparison) return undefined;
  return {
    was: { name, analysis },
    is: { name: image, analysis: changed },
    comparison,
    own: comparison,
    inherited: new Set(),
    bases: [],
    sameAs: [],
  };
}

/** Beyond this number of lines, only their number is printed. */
const MOST_LINES = 200;

/** For people: each difference, then what they do to the engine. */
export function verifyText(found: Verification, paper: TextLayout): string {
  const { name, image, differences, built, missing, homecoming } = found;
  const { style } = paper;
  const lines: string[] = [];
  if (missing > 0)
    lines.push(`${image} does not contain ${counted(missing, 'byte')} of the layout; they count as filled.`);
  if (matches(differences)) {
    const values = built.parts.reduce((sum, { cells }) => sum + cells.length, 0);
    const text = `${image} holds what ${name} says: ${counted(values, 'value')}, digest ${built.digest}.`;
    return `${[...lines, style.green(text)].join('\n')}\n`;
  }
  lines.push(...capped(cellLines(differences.cells)));
  for (const { checksum, stored, computed } of differences.checksums) {
    lines.push(
      `${checksum.kind} at ${hexAddress(checksum.start)}  stored ${hexAddress(stored)}  computed ${hexAddress(computed)}`,
    );
  }
  lines.push(...capped(differences.elsewhere.map((one) => elsewhereLine(found, one))));
  lines.push(...capped(homecoming.faults.map(({ message }) => printable(plainText(message)))));
  const { cells, checksums, elsewhere } = differences;
  const parts = [
    cells.length > 0 ? counted(cells.length, 'value') : '',
    checksums.length > 0 ? counted(checksums.length, 'checksum') : '',
    elsewhere.length > 0
      ? counted(
          elsewhere.reduce((sum, { file }) => sum + file.length, 0),
          'other byte',
        )
      : '',
  ];
  const summary = style.red(`${image} does not hold what ${name} says: ${parts.filter(Boolean).join(', ')}.`);
  const file = comparedFile(found);
  const without =
    homecoming.faults.length > 0 ? ', without the values named above that a text cannot say' : '';
  const effect = file
    ? `\nWhat that does to the engine${without}:\n\n${compareText.part(file, { paper, threshold: 'error', all: false })}`
    : '';
  return `${lines.join('\n')}\n${summary}\n${effect}`;
}

const capped = (lines: readonly string[]): readonly string[] =>
  lines.length > MOST_LINES
    ? [...lines.slice(0, MOST_LINES), `and ${lines.length - MOST_LINES} more`]
    : lines;

function cellLines(cells: readonly CellDifference[]): string[] {
  const names = cells.map(cellName);
  const files = cells.map((one) => `file ${withUnit(fileValue(one), one)}`);
  const width = names.reduce((most, { length }) => Math.max(most, length), 0);
  const fileWidth = files.reduce((most, { length }) => Math.max(most, length), 0);
  return cells.map((one, i) => {
    const value = imageValue(one);
    const image = value === null ? 'not in the image' : `image ${withUnit(value, one)}`;
    return `${padEnd(names[i]!, width)}  ${padEnd(files[i]!, fileWidth)}  ${image}`;
  });
}

function cellName({ stored, cell }: CellDifference): string {
  const { key, part, kept } = stored;
  if (part.name !== 'values') return `${key}.${part.name}[${cell.column}]`;
  if (kept.value.type === 'table') return `${key} at ${cellPlace(kept.value, cell.row, cell.column)}`;
  return stored.cells.length > 1 ? `${key}[${cell.column}]` : key;
}

const withUnit = (value: number | string, { stored }: CellDifference): string =>
  `${typeof value === 'number' ? formatNumber(value, 9) : value} ${stored.unit}`.trim();

function elsewhereLine({ built }: Verification, { at, file, image }: ByteDifference): string {
  const end = at + file.length;
  const place = file.length === 1 ? hexAddress(at) : `${hexAddress(at)}..${hexAddress(end - 1)}`;
  const { identity } = built;
  const isIdentity = identity && at >= identity.start && end <= identity.end;
  const name = isIdentity ? 'identity, ' : '';
  const short = (bytes: Uint8Array) =>
    bytes.length > 16 ? `${hexText(bytes.subarray(0, 16))}…` : hexText(bytes);
  return `${name}${place}  file ${short(file)}  image ${short(image)}`;
}
