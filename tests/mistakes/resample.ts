import { offsetsOf, readSource, type SourceFile } from '../../shared/source/source-file.ts';
import { type Node, nodeAtPath } from '../../shared/source/tree.ts';
import { randomOf } from '../fuzz/random.mjs';

type Random = ReturnType<typeof randomOf>;

/** The maps over engine speed that are resampled. */
const MAPS = ['fuel.volumetric_efficiency', 'fuel.target_lambda', 'ignition.advance', 'boost.target'];

/**
 * The text of a sound file with its maps on other axes, as a calibrator may choose them: some breakpoints left out, evenly
 * spaced, or evenly spaced with one more. Cells are interpolated and rounded as before, so the file stays sound.
 */
export function resampled(path: string, sound: string, seed: number): string {
  const file = readSource(path, sound);
  const random = randomOf(seed);
  const edits = MAPS.flatMap((map) => mapEdits(file, map.split('.'), random));
  return edits
    .sort((a, b) => b.start - a.start)
    .reduce((text, { start, end, put }) => text.slice(0, start) + put + text.slice(end), sound);
}

interface Edit {
  readonly start: number;
  readonly end: number;
  readonly put: string;
}

function mapEdits(file: SourceFile, path: readonly string[], random: Random): Edit[] {
  const at = (...steps: string[]) => nodeAtPath(file.root, [...path, ...steps]);
  const [x, y, values] = [at('x', 'breakpoints'), at('y', 'breakpoints'), at('values')];
  if (!x || !y || values?.type !== 'sequence') return [];
  const rows = values.items.map(numbersOf);
  const [xs, ys] = [numbersOf(x), numbersOf(y)];
  const [newXs, newYs] = [newAxis(xs, random), newAxis(ys, random)];
  const step = [1, 0.5, 0.1, 0.01].find((one) => rows.flat().every((cell) => isMultiple(cell, one))) ?? 0.001;
  const cells = newYs.map((b) => {
    const row = newRow(ys, rows, b);
    return newXs.map((a) => rounded(interpolated(xs, row, a), step));
  });
  const indent = ' '.repeat(file.lines.position(offsetsOf(file, values).start).character);
  const lines = cells.map((row) => `- [${row.join(', ')}]`).join(`\n${indent}`);
  return [
    { ...offsetsOf(file, x), put: `[${newXs.join(', ')}]` },
    { ...offsetsOf(file, y), put: `[${newYs.join(', ')}]` },
    { ...offsetsOf(file, values), put: lines },
  ];
}

const numbersOf = (list: Node): number[] =>
  list.type === 'sequence'
    ? list.items.map((item) => (item.type === 'scalar' ? Number(item.value) : NaN))
    : [];

const isMultiple = (value: number, step: number): boolean =>
  Math.abs(value / step - Math.round(value / step)) < 1e-6;

const rounded = (value: number, step: number): number => Number((Math.round(value / step) * step).toFixed(3));

/** Other breakpoints from the first to the last one, and no more of them. */
function newAxis(old: readonly number[], { below }: Random): readonly number[] {
  const [first, last] = [old[0]!, old.at(-1)!];
  if (old.length < 5) return old;
  if (below(3) === 0) return old.filter((_, i) => i === 0 || i === old.length - 1 || below(3) > 0);
  const count = Math.max(4, old.length - 1 - below(Math.ceil(old.length / 3)));
  const step = last - first > 500 ? 50 : 1;
  const even = Array.from({ length: count }, (_, i) =>
    rounded(first + ((last - first) * i) / (count - 1), step),
  );
  const extra = below(2) === 0 ? [old[1 + below(old.length - 2)]!] : [];
  const inner = [...even.slice(1, -1), ...extra].filter((one) => one > first && one < last);
  return [first, ...[...new Set(inner)].sort((a, b) => a - b), last];
}

/** The row of a map at a value of its y axis. */
const newRow = (ys: readonly number[], rows: readonly (readonly number[])[], at: number): number[] =>
  rows[0]!.map((_, i) =>
    interpolated(
      ys,
      rows.map((row) => row[i]!),
      at,
    ),
  );

function interpolated(xs: readonly number[], values: readonly number[], at: number): number {
  const i = Math.max(
    1,
    xs.findIndex((x) => x >= at),
  );
  const part = (at - xs[i - 1]!) / (xs[i]! - xs[i - 1]!);
  return values[i - 1]! + (values[i]! - values[i - 1]!) * part;
}
