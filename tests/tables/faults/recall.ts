import { findingsIn, isAt, LINE_CHECKS } from './judged.ts';
import { CURVE_FAULTS, type CurveFault, FAULTS, type Fault, planted } from './planted.ts';
import { CURVES, MAPS, type Plausible, plausibleCurve, plausibleMap, STYLES, seeded } from './plausible.ts';

/** How many of the faults of a kind were found. */
export interface Recall {
  readonly fault: Fault | CurveFault;
  /** `10 %` for a scaled line, the range of effects for others. */
  readonly size: string;
  /**
   * `few lines` in a table with fewer than seven lines. Otherwise `edge` for the first and last line, `second` for the lines next to
   * them, and `inside` for all others.
   */
  readonly where: 'inside' | 'second' | 'edge' | 'few lines';
  found: number;
  planted: number;
}

export interface Alarms {
  readonly tables: number;
  /** Tables with a finding of a check of lines. */
  readonly lines: number;
  /** Findings of each check. */
  readonly byCheck: ReadonlyMap<string, number>;
  /** Tables with a finding, by quantity and style. */
  readonly byKind: ReadonlyMap<string, number>;
}

/** Fewer lines say little about each other. */
const FEW = 7;

const soundOf = (seed: number): Plausible[] => [
  ...STYLES.flatMap((style) => MAPS.map((quantity) => plausibleMap(quantity, style, seed))),
  ...STYLES.flatMap((style) => CURVES.map((quantity) => plausibleCurve(quantity, style, seed))),
];

/** The findings in sound tables, of seeds from 1 to `count`. */
export function alarmsIn(count: number): Alarms {
  const [byCheck, byKind] = [new Map<string, number>(), new Map<string, number>()];
  let [tables, lines] = [0, 0];
  for (let seed = 1; seed <= count; seed++) {
    for (const table of soundOf(seed)) {
      tables++;
      const found = findingsIn(table);
      for (const { rule } of found) byCheck.set(rule, (byCheck.get(rule) ?? 0) + 1);
      if (!found.some(({ rule }) => (LINE_CHECKS as readonly string[]).includes(rule))) continue;
      lines++;
      const kind = `${table.quantity}, ${table.style}`;
      byKind.set(kind, (byKind.get(kind) ?? 0) + 1);
    }
  }
  return { tables, lines, byCheck, byKind };
}

const SHARES = [0.05, 0.1, 0.15, 0.25];

/** The recall of faults planted into maps of seeds from 10 001 on, into each map one of each kind and size. */
export function recallIn(count: number): Recall[] {
  const all = new Map<string, Recall>();
  const plant = (table: Plausible, fault: Fault | CurveFault, share: number, seed: number): void => {
    const other = plausibleMap(
      seed % 2 === 0 && table.quantity !== 'lambda' ? 'lambda' : 'filling',
      'smooth',
      seed,
    );
    const one = planted(table, fault, share, seeded(seed * 31 + 7), other);
    if (!one) return;
    const size = share > 0 ? `${100 * share} %` : effectOf(one.size);
    const where = whereOf(one);
    const key = `${fault}\n${size}\n${where}`;
    const recall = all.get(key) ?? { fault, size, where, found: 0, planted: 0 };
    all.set(key, recall);
    recall.planted++;
    if (findingsIn(one.table).some((finding) => isAt(one, finding))) recall.found++;
  };
  for (let seed = 10_001; seed <= 10_000 + count; seed++) {
    for (const table of soundOf(seed)) {
      for (const fault of table.y ? FAULTS : CURVE_FAULTS) {
        const isSized = fault.startsWith('scaled') || fault === 'wrong value';
        for (const share of isSized ? SHARES : [0]) plant(table, fault, share, seed);
      }
    }
  }
  return [...all.values()];
}

/** The middle change of the cells that a fault makes. */
const effectOf = (size: number): string =>
  size < 0.02 ? 'under 2 %' : size < 0.05 ? '2 to 5 %' : size < 0.1 ? '5 to 10 %' : 'over 10 %';

function whereOf({ table, along, lines }: { table: Plausible; along: 'x' | 'y'; lines: readonly number[] }) {
  const count = along === 'x' ? table.x.length : table.y!.length;
  if (count < FEW) return 'few lines';
  const nearest = Math.min(...lines.map((line) => Math.min(line, count - 1 - line)));
  return nearest === 0 ? 'edge' : nearest === 1 ? 'second' : 'inside';
}
