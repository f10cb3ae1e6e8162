import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { diskProject } from '../../server/files.ts';
import { analyse } from '../../shared/analysis.ts';
import { numbers, parseExpression } from '../../shared/arithmetic/expression.ts';
import { contains, type Interval, isEmpty } from '../../shared/arithmetic/interval.ts';
import { compile } from '../../shared/arithmetic/program.ts';
import { type Conditions, OperatingPoint } from '../../shared/derived/operating-point.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { Trace } from '../../shared/derived/trace.ts';
import type { Operand } from '../../shared/derived/value.ts';
import { Enclosure } from '../../shared/proof/enclosure.ts';
import { type GraphNode, graphOf, recording } from '../../shared/proof/graph.ts';
import { SAMPLES, sampleNames } from '../support/samples.ts';

const share = fc.double({ min: 0, max: 1, noNaN: true });

/** Three shares of each range: two ends of a box and a place in it, and the same place moved along one variable. */
const boxShares = (count: number) =>
  fc.array(fc.tuple(share, share, share, share), { minLength: count, maxLength: count });

interface Placed {
  readonly box: readonly Interval[];
  readonly place: readonly number[];
  readonly other: readonly number[];
}

function placed(
  shares: readonly (readonly number[])[],
  ranges: readonly (readonly [number, number])[],
): Placed {
  const sorted = shares.map((four, i) => {
    const [min, max] = ranges[i]!;
    return four.map((one) => min + one * (max - min)).sort((a, b) => a - b);
  });
  return {
    box: sorted.map(([low, , , high]) => ({ low: low!, high: high! })),
    place: sorted.map((one) => one[1]!),
    other: sorted.map((one) => one[2]!),
  };
}

/** Encloses the values in the box, and the slopes of all lines between two places that differ in one variable. */
function expectEnclosed(enclosure: Enclosure, { box, place, other }: Placed, name: string): void {
  const [value] = enclosure.over(box);
  if (isEmpty(value!)) return;
  const slopes = enclosure.slopes(box.length);
  const [at] = enclosure.numbersAt(place);
  if (!Number.isFinite(at)) return;
  const slack = 1e-12 * Math.abs(at!);
  expect(contains({ low: value!.low - slack, high: value!.high + slack }, at!), `${name} at ${place}`).toBe(
    true,
  );
  for (let i = 0; i < box.length; i++) {
    const rise = other[i]! - place[i]!;
    if (rise < 1e-6 * Math.abs(place[i]!) || rise === 0) continue;
    const [moved] = enclosure.numbersAt(place.with(i, other[i]!));
    if (!Number.isFinite(moved)) continue;
    const slope = (moved! - at!) / rise;
    const rounding = (1e-12 * (Math.abs(at!) + Math.abs(moved!))) / rise;
    const { low, high } = slopes[i] ?? { low: 0, high: 0 };
    expect(
      slope >= low - rounding && slope <= high + rounding,
      `${name}, slope ${i}: ${slope} in ${low}..${high}`,
    ).toBe(true);
  }
}

const EXPRESSIONS = [
  'x · y / z',
  'x · y − z',
  '(x + y) / (x + z)',
  'x^2 · y − |z − x|',
  '√(x · z) · exp(−y / x)',
  'ln(x / y) + z',
  'min(x, y) · max(y, z) / (x + y)',
  'max(0, x − y) · z',
  '1 / max(0, min(x / y + z, y))',
  '(x − y) / (z − y)',
  'x^y · z',
  '−x · (y − z)',
  'floor(x) + y · z',
];

describe.each([
  {
    what: 'positive',
    ranges: [
      [0.1, 4],
      [0.2, 3],
      [0.5, 9],
    ],
  },
  {
    what: 'any',
    ranges: [
      [-3, 4],
      [-2, 3],
      [-1, 9],
    ],
  },
] as const)('over $what numbers', ({ ranges }) => {
  test.each(EXPRESSIONS)('%s is enclosed with its slopes', (text) => {
    const variables = [0, 1, 2].map((index): GraphNode => ({ type: 'variable', index }));
    const enclosure = new Enclosure([compile(parseExpression(text), ['x', 'y', 'z'], recording)(variables)]);
    const number = compile(parseExpression(text), ['x', 'y', 'z'], numbers);
    fc.assert(
      fc.property(boxShares(3), (shares) => {
        const at = placed(shares, ranges);
        expect(enclosure.numbersAt(at.place)[0]).toBe(number(at.place));
        // Where a logarithm, root or power has no value, a line may leave what is enclosed.
        const isDefined = ranges[0][0] > 0 || !/√|ln|\^y/.test(text);
        if (isDefined) expectEnclosed(enclosure, at, text);
      }),
      { numRuns: 300 },
    );
  });
});

/** Wider than the ranges in which engines are used. */
const RANGES = {
  speed: [500, 7000],
  manifoldPressure: [20e3, 250e3],
  pressureAltitude: [-1000, 14000],
  isaDeviation: [-40, 40],
  coolantTemperature: [230, 400],
  batteryVoltage: [6, 18],
} as const;
const names = Object.keys(RANGES) as (keyof typeof RANGES)[];

describe.each(sampleNames.filter((name) => /^(?!broken).*\.engine\.yaml$/.test(name)))('%s', (name) => {
  const { derivation } = analyse(diskProject([SAMPLES + name]), SAMPLES + name)!;
  const [point] = derivation!.points;
  const operands = names.map((one): Operand => ({ canonical: (RANGES[one][0] + RANGES[one][1]) / 2 }));
  const stated = Object.fromEntries(names.map((one, i) => [one, operands[i]!]));
  const conditions = { ...point!.conditions, ...stated, throttle: { canonical: 1 } } as Conditions;
  const traced = new OperatingPoint('', point!.engine, conditions, point!.node);
  const trace = new Trace();
  const steps = pointValues.flatMap((definition) => {
    const value = traced.get(definition);
    return value ? [{ id: definition.id, step: trace.indexOf(value) }] : [];
  });
  const variables = new Map(operands.map((operand, i) => [operand, i]));
  const graph = graphOf(trace, variables);

  test('every value of a point is enclosed with its slopes', () => {
    expect(steps.length).toBeGreaterThan(20);
    const enclosures = steps.map(({ id, step }) => ({ id, enclosure: new Enclosure([graph[step]!]) }));
    fc.assert(
      fc.property(boxShares(names.length), (shares) => {
        const at = placed(
          shares,
          names.map((one) => RANGES[one]),
        );
        for (const { id, enclosure } of enclosures) expectEnclosed(enclosure, at, id);
      }),
    );
  });
});
