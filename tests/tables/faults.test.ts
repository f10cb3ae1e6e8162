import { expect, test } from 'vitest';
import { findingsIn, isAt, LINE_CHECKS } from './faults/judged.ts';
import { planted } from './faults/planted.ts';
import { MAPS, plausibleMap, seeded } from './faults/plausible.ts';

/** A small part of what `npm run tables` measures; the rest is in docs/tables.md. */
const SEEDS = [1, 2, 3];
const STYLES = ['smooth', 'ridged', 'stepped', 'measured'] as const;

const sound = SEEDS.flatMap((seed) =>
  STYLES.flatMap((style) => MAPS.map((quantity) => ({ seed, table: plausibleMap(quantity, style, seed) }))),
);

const linesFoundIn = (table: Parameters<typeof findingsIn>[0]) =>
  findingsIn(table).filter(({ rule }) => (LINE_CHECKS as readonly string[]).includes(rule));

test('lines of sound maps are not reported', () => {
  expect(sound).toHaveLength(60);
  const reported = sound.filter(({ table }) => linesFoundIn(table).length > 0);
  expect(reported.map(({ table }) => table)).toEqual([]);
});

test.each(['scaled row', 'scaled column'] as const)(
  'a %s is found, and the fault is one finding',
  (fault) => {
    const inside = sound.flatMap(({ seed, table }) => {
      const one = planted(table, fault, 0.15, seeded(seed * 31 + 7), table);
      const count = fault === 'scaled row' ? table.y!.length : table.x.length;
      return one?.lines.every((line) => line > 1 && line < count - 2) ? [one] : [];
    });
    expect(inside.length).toBeGreaterThan(25);
    const found = inside.filter((one) => findingsIn(one.table).some((finding) => isAt(one, finding)));
    expect(found.length).toBeGreaterThanOrEqual(0.95 * inside.length);
    const alone = found.filter(({ table }) => linesFoundIn(table).length <= 1);
    expect(alone.length).toBeGreaterThanOrEqual(0.9 * found.length);
  },
);
