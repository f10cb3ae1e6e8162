import type { Plausible, Random } from './plausible.ts';

/** A fault as somebody makes it. `size` is used by `scaled` only. */
export const FAULTS = [
  'scaled row',
  'scaled column',
  'shifted row',
  'shifted column',
  'swapped rows',
  'swapped columns',
  'row pasted twice',
  'column pasted twice',
  'row of another map',
  'axis digits swapped',
] as const;
export type Fault = (typeof FAULTS)[number];

export const CURVE_FAULTS = ['wrong value', 'value pasted twice', 'values swapped'] as const;
export type CurveFault = (typeof CURVE_FAULTS)[number];

export interface Planted {
  readonly table: Plausible;
  readonly along: 'x' | 'y';
  /** The lines that changed, from 0. */
  readonly lines: readonly number[];
  readonly isEdge: boolean;
  /** The median change of the cells of the first line, relative to the cell; of angles, to the largest in the table. */
  readonly size: number;
}

type Rows = readonly (readonly number[])[];

const pick = (random: Random, count: number): number => Math.floor(random() * count);
const transposed = (rows: Rows): number[][] => rows[0]!.map((_, c) => rows.map((row) => row[c]!));
const isAngle = ({ quantity }: Plausible): boolean => quantity === 'advance' || quantity === 'injection end';

const round = ({ decimals }: Plausible, value: number): number => Number(value.toFixed(decimals));

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return (sorted[(sorted.length - 1) >> 1]! + sorted[sorted.length >> 1]!) / 2;
}

/** What an angle is compared with: advance with its largest, the end of injection with the span it varies over. */
function sizeOf(table: Plausible, cell: number): number {
  if (!isAngle(table)) return Math.abs(cell);
  const all = table.rows.flat();
  return table.quantity === 'advance' ? Math.max(...all) : 2 * (Math.max(...all) - Math.min(...all));
}

/** The table with a fault; undefined if it has no room for one, or the fault changes nothing. */
export function planted(
  table: Plausible,
  fault: Fault | CurveFault,
  share: number,
  random: Random,
  other: Plausible,
): Planted | undefined {
  if (fault === 'axis digits swapped') return axisPlanted(table, random);
  const along = fault.includes('column') || !table.y ? 'x' : 'y';
  const lines: Rows = along === 'x' ? transposed(table.rows) : table.rows;
  const at = pick(random, lines.length);
  const beside = at === lines.length - 1 ? at - 1 : at + 1;
  const sign = random() < 0.5 ? -1 : 1;
  const changed = lines.map((line) => [...line]);
  const touched = [at];
  if (fault.startsWith('scaled') || fault === 'wrong value') {
    changed[at] = lines[at]!.map((cell) =>
      round(table, isAngle(table) ? cell + sign * share * sizeOf(table, cell) : cell * (1 + sign * share)),
    );
  } else if (fault.startsWith('shifted')) {
    const own = lines[at]!;
    changed[at] = own.map((_, c) => own[Math.min(own.length - 1, Math.max(0, c + sign))]!);
  } else if (fault.includes('swapped')) {
    changed[at] = [...lines[beside]!];
    changed[beside] = [...lines[at]!];
    touched.push(beside);
  } else if (fault.includes('twice')) {
    changed[at] = [...lines[beside]!];
    touched.push(beside);
  } else {
    const source = other.rows[pick(random, other.rows.length)]!;
    changed[at] = lines[at]!.map((_, c) => round(table, source[c % source.length]!));
  }
  const moved = lines[at]!.map((cell, c) => Math.abs(changed[at]![c]! - cell) / sizeOf(table, cell));
  const rows = along === 'x' ? transposed(changed) : changed;
  return {
    table: { ...table, rows },
    along,
    lines: touched.sort((a, b) => a - b),
    isEdge: touched.some((line) => line === 0 || line === lines.length - 1),
    size: median(moved),
  };
}

/** Two digits of a breakpoint swapped, still between its neighbours: 4400 becomes 4040. */
function axisPlanted(table: Plausible, random: Random): Planted | undefined {
  const { x } = table;
  const start = 1 + pick(random, x.length - 1);
  for (let i = 0; i < x.length - 1; i++) {
    const at = 1 + ((start + i) % (x.length - 1));
    const digits = String(x[at]!);
    for (let d = 0; d < digits.length - 1; d++) {
      const wrong = Number(digits.slice(0, d) + digits[d + 1] + digits[d] + digits.slice(d + 2));
      const gap = x[at]! - x[at - 1]!;
      if (wrong <= x[at - 1]! || wrong >= (x[at + 1] ?? Infinity) || Math.abs(wrong - x[at]!) < 0.3 * gap)
        continue;
      const changed = x.map((one, c) => (c === at ? wrong : one));
      return {
        table: { ...table, x: changed },
        along: 'x',
        lines: [at],
        isEdge: at === x.length - 1,
        size: Math.abs(wrong / x[at]! - 1),
      };
    }
  }
  return undefined;
}
