import { describe, expect, test } from 'vitest';
import { analyseCase } from '../support/fixture.ts';

/** Numbers in 0..1 that are the same in every run (a linear congruential generator). */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A surface over 0..1 along speed (u) and load (v), of the shapes that maps have. */
type Surface = (u: number, v: number) => number;

const surfaces: Record<
  string,
  { key: string; unit: string; decimals: number; make(random: () => number): Surface }
> = {
  'filling with a torque peak': {
    key: 'fuel: { volumetric_efficiency:',
    unit: '"%"',
    decimals: 1,
    make(random) {
      const [peak, width, rise] = [0.3 + 0.4 * random(), 0.45 + 0.3 * random(), 25 + 20 * random()];
      return (u, v) => 45 + rise * Math.sqrt(v + 0.1) + 12 * Math.exp(-(((u - peak) / width) ** 2));
    },
  },
  'filling with knees': {
    key: 'fuel: { volumetric_efficiency:',
    unit: '"%"',
    decimals: 0,
    make(random) {
      const [load, speed] = [0.3 + 0.4 * random(), 0.3 + 0.4 * random()];
      return (u, v) =>
        48 + 30 * Math.min(v / load, 1) + 10 * Math.min(u / speed, 1) - 12 * Math.max(0, u - 0.75);
    },
  },
  'mixture with a plateau': {
    key: 'fuel: { target_lambda:',
    unit: '',
    decimals: 2,
    make(random) {
      const [knee, depth] = [0.3 + 0.4 * random(), 0.12 + 0.1 * random()];
      return (u, v) => 1 - depth * Math.max(0, (v - knee) / (1 - knee)) - 0.03 * Math.max(0, u - 0.6);
    },
  },
  'a sum of waves of a length of twice the map and more': {
    key: 'ignition: { advance:',
    unit: 'deg',
    decimals: 1,
    make(random) {
      const waves = [1, 2, 3].map(() => ({
        a: 4 * random(),
        u: 3 * random(),
        v: 3 * random(),
        at: 6 * random(),
      }));
      return (u, v) =>
        waves.reduce((sum, wave) => sum + wave.a * Math.sin(wave.u * u + wave.v * v + wave.at), 24);
    },
  },
};

const steps = (from: number, to: number, count: number) =>
  Array.from({ length: count }, (_, i) => Math.round(from + ((to - from) * i) / (count - 1)));

/** A file with only that map, and the check's findings in it: row and column of each. */
function outliersOf(name: string, cells: readonly (readonly number[])[]) {
  const { key, unit, decimals } = surfaces[name]!;
  const rows = cells.map((row) => `[${row.map((cell) => cell.toFixed(decimals)).join(', ')}]`);
  const text = [
    `${key} { x: { quantity: engine_speed, unit: rpm, breakpoints: [${steps(800, 6000, cells[0]!.length)}] },`,
    `y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [${steps(30, 180, cells.length)}] },`,
    unit && `unit: ${unit},`,
    `values: [`,
    ...rows.map((row) => `${row},`),
    '] } }',
  ];
  const analysis = analyseCase(new Map([['case.engine.yaml', text.join('\n  ')]]));
  return analysis.findings
    .filter((finding) => finding.rule === 'cell-outlier')
    .map(({ path }) => /\[(\d+)\]\[(\d+)\]$/.exec(path)!.slice(1).map(Number));
}

function sampled(
  surface: Surface,
  rows: number,
  columns: number,
  cell: (value: number) => number,
): number[][] {
  return Array.from({ length: rows }, (_, i) =>
    Array.from({ length: columns }, (_, j) => cell(surface(j / (columns - 1), i / (rows - 1)))),
  );
}

describe.each(Object.keys(surfaces))('cell-outlier in %s', (name) => {
  const { make } = surfaces[name]!;

  test('a smooth map is silent, at every size and with the scatter of a measurement', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const random = seeded(seed);
      const surface = make(random);
      const [rows, columns] = [3 + Math.floor(10 * random()), 3 + Math.floor(10 * random())];
      const scatter = seed % 2 === 0 ? 0.01 : 0;
      const cells = sampled(surface, rows, columns, (value) => value * (1 + scatter * (2 * random() - 1)));
      expect(outliersOf(name, cells), `seed ${seed}: ${JSON.stringify(cells)}`).toEqual([]);
    }
  });

  test('a slip of more than a quarter of the value is found, and only in its cell', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const random = seeded(seed);
      const surface = make(random);
      const [rows, columns] = [8 + Math.floor(9 * random()), 8 + Math.floor(9 * random())];
      const cells = sampled(surface, rows, columns, (value) => value);
      const [row, column] = [Math.floor(rows * random()), Math.floor(columns * random())];
      cells[row]![column]! *= 1 + (random() < 0.5 ? -1 : 1) * (0.26 + 0.5 * random());
      expect(outliersOf(name, cells), `seed ${seed}: ${JSON.stringify(cells)}`).toEqual([[row, column]]);
    }
  });
});
