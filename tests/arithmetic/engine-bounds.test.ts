import { expect, test } from 'vitest';
import { parseExpression } from '../../shared/arithmetic/expression.ts';
import { negate } from '../../shared/arithmetic/interval.ts';
import { compile } from '../../shared/arithmetic/program.ts';
import type { TableValue } from '../../shared/configuration/values.ts';
import { Enclosure } from '../../shared/proof/enclosure.ts';
import { type GraphNode, recording } from '../../shared/proof/graph.ts';
import { highestOf, type Problem } from '../../shared/proof/search.ts';

/**
 * Products of maps over speed (rpm), pressure (kPa) and voltage (V), with extremes at corners, on edges of cells and inside
 * them. Invented. The expected ranges of the extreme were computed apart from this project: by another interval module and a
 * simple branch and bound without slopes, to 1e-6, and compared with samples on a grid.
 */
const VE = map(
  [1000, 2000, 3500, 5000, 6000],
  [30, 60, 100, 140, 180],
  [
    [0.52, 0.58, 0.62, 0.6, 0.55],
    [0.6, 0.7, 0.78, 0.76, 0.72],
    [0.68, 0.8, 0.9, 0.93, 0.88],
    [0.7, 0.83, 0.94, 0.97, 0.93],
    [0.69, 0.81, 0.92, 0.96, 0.91],
  ],
);
const LAMBDA = map(
  [1000, 3000, 6000],
  [30, 90, 120, 180],
  [
    [1, 1, 0.98],
    [1, 0.98, 0.92],
    [0.92, 0.88, 0.84],
    [0.84, 0.8, 0.78],
  ],
);
const DEAD_TIME = map([8, 10, 12, 14, 15], undefined, [[2.9, 1.75, 1.15, 0.85, 0.76]]);

/** A table with one row for each breakpoint of `y`; only what a lookup reads of it. */
function map(x: number[], y: number[] | undefined, rows: number[][]): TableValue {
  const axis = (breakpoints: number[]) => ({ breakpoints });
  const table = { cells: Float64Array.from(rows.flat()), x: axis(x), ...(y && { y: axis(y) }) };
  return table as unknown as TableValue;
}

const [n, p, v] = [0, 1, 2].map((index): GraphNode => ({ type: 'variable', index })) as [
  GraphNode,
  GraphNode,
  GraphNode,
];
const look = (table: TableValue, ...operands: GraphNode[]): GraphNode => ({ type: 'table', table, operands });
const formula = (text: string, symbols: Readonly<Record<string, GraphNode>>): GraphNode =>
  compile(parseExpression(text), Object.keys(symbols), recording)(Object.values(symbols));

const ve = look(VE, n, p);
const charge = formula('288.15 · (1 + 0.7 · ((max(p, 101.325) / 101.325)^(2 / 7) − 1) / 0.72)', { p });
const air = formula('VE · p · 0.35 · 1000000 / (287.05 · T)', { VE: ve, p, T: charge });
const flow = formula('420 · 0.72 / 60 · √((400 − p) / 300)', { p });
const duty = formula('(m / (14.6 · λ) / q + t) · n / 120000', {
  m: air,
  λ: look(LAMBDA, n, p),
  q: flow,
  t: look(DEAD_TIME, v),
  n,
});
const hump = formula('VE · (1 − (n / 6500)^4)', { VE: ve, n });

const cases = [
  ['air mass, highest', air, 1, [1000, 6000], [30, 180], [12, 14], [623.1092202658439, 623.109792054626]],
  ['air mass, lowest', air, -1, [1000, 6000], [30, 180], [12, 14], [66.01102365960216, 66.01106361056112]],
  [
    'air mass in a part of the map, highest',
    ...([air, 1, [2500, 3200], [95, 130], [12, 14], [466.3025880630122, 466.30303916953824]] as const),
  ],
  [
    'a hump inside the edge of a cell, highest',
    ...([hump, 1, [1000, 6000], [30, 180], [12, 14], [0.8640926867554731, 0.8640935503480717]] as const),
  ],
  [
    'duty over the whole supply, highest',
    ...([duty, 1, [1000, 6000], [30, 180], [8, 15], [0.7458630572272897, 0.7458636816933414]] as const),
  ],
  [
    'duty below 150 kPa, highest',
    ...([duty, 1, [1000, 6000], [30, 150], [12, 14], [0.5412482310984061, 0.5412487652485205]] as const),
  ],
  [
    'duty at idle, lowest',
    ...([duty, -1, [1000, 1200], [30, 40], [12, 14], [0.013814829373186994, 0.013814842036376963]] as const),
  ],
] as const;

test.each(cases)('%s', (_name, root, sign, speed, pressure, voltage, expected) => {
  const enclosure = new Enclosure([root]);
  const cuts = (...axes: (readonly number[] | undefined)[]) =>
    [...new Set(axes.flatMap((axis) => axis ?? []))]
      .sort((a, b) => a - b)
      .map((at) => ({ below: at, above: at }));
  const problem: Problem = {
    over: (box) => (sign === 1 ? enclosure.over(box)[0]! : negate(enclosure.over(box)[0]!)),
    slopes: () => enclosure.slopes(3).map((slope) => (sign === 1 ? slope : slope && negate(slope))),
    valueAt: (place) => sign * enclosure.numbersAt(place)[0]!,
    bends: [
      cuts(VE.x?.breakpoints, LAMBDA.x?.breakpoints),
      cuts(VE.y?.breakpoints, LAMBDA.y?.breakpoints, [101.325]),
      cuts(DEAD_TIME.x?.breakpoints),
    ],
  };
  const whole = [speed, pressure, voltage].map(([low, high]) => ({ low: low!, high: high! }));
  const found = highestOf(
    problem,
    whole,
    (bound, reached) => bound - reached <= 1e-7 * Math.abs(bound),
    20_000,
  )!;
  const [low, high] = sign === 1 ? [found.reached, found.bound] : [-found.bound, -found.reached];
  expect(high - low).toBeLessThanOrEqual(1e-7 * Math.abs(high) * (1 + 1e-9));
  // Both contain the extreme.
  expect(low).toBeLessThanOrEqual(expected[1]);
  expect(high).toBeGreaterThanOrEqual(expected[0]);
});

test('a part of a box has its enclosure within that of the whole', () => {
  for (const root of [air, duty, hump]) {
    const enclosure = new Enclosure([root]);
    const [whole] = enclosure.over([
      { low: 1000, high: 6000 },
      { low: 30, high: 180 },
      { low: 8, high: 15 },
    ]);
    for (let i = 0; i < 200; i++) {
      const part = [
        [1000, 6000],
        [30, 180],
        [8, 15],
      ].map(([from, to], k) => {
        const width = (to! - from!) / (1 + ((i * 7 + k) % 11));
        const low = from! + (to! - from! - width) * (((i * 13 + k * 5) % 17) / 17);
        return { low, high: low + width };
      });
      const [inner] = enclosure.over(part);
      expect(inner!.low).toBeGreaterThanOrEqual(whole!.low);
      expect(inner!.high).toBeLessThanOrEqual(whole!.high);
    }
  }
});
