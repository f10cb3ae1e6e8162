import { expect, test } from 'vitest';
import { parseExpression } from '../../shared/arithmetic/expression.ts';
import { compile } from '../../shared/arithmetic/program.ts';
import { Enclosure } from '../../shared/proof/enclosure.ts';
import { type GraphNode, recording } from '../../shared/proof/graph.ts';
import { type Box, highestOf, type IsEnough, type Problem } from '../../shared/proof/search.ts';

/** Minima of functions of two variables from the literature on global optimisation; from memory unless stated. */
const functions = [
  {
    name: 'six-hump camel (Dixon and Szegő 1978)',
    text: '(4 − 2.1 · x^2 + x^4 / 3) · x^2 + x · y + (4 · y^2 − 4) · y^2',
    box: [
      [-3, 3],
      [-2, 2],
    ],
    minimum: -1.031628453489877,
  },
  {
    name: 'Goldstein and Price (1971)',
    text: '(1 + (x + y + 1)^2 · (19 − 14 · x + 3 · x^2 − 14 · y + 6 · x · y + 3 · y^2)) · (30 + (2 · x − 3 · y)^2 · (18 − 32 · x + 12 · x^2 + 48 · y − 36 · x · y + 27 · y^2))',
    box: [
      [-2, 2],
      [-2, 2],
    ],
    minimum: 3,
    // Its values on the box reach a million.
    distance: 0.01,
  },
  {
    name: 'Himmelblau',
    text: '(x^2 + y − 11)^2 + (x + y^2 − 7)^2',
    box: [
      [-5, 5],
      [-5, 5],
    ],
    minimum: 0,
  },
  {
    name: 'Booth',
    text: '(x + 2 · y − 7)^2 + (2 · x + y − 5)^2',
    box: [
      [-10, 10],
      [-10, 10],
    ],
    minimum: 0,
  },
  {
    name: 'Matyas',
    text: '0.26 · (x^2 + y^2) − 0.48 · x · y',
    box: [
      [-10, 10],
      [-10, 10],
    ],
    minimum: 0,
  },
  {
    name: 'Rosenbrock',
    text: '100 · (y − x^2)^2 + (1 − x)^2',
    box: [
      [-2, 2],
      [-1, 3],
    ],
    minimum: 0,
  },
] as const;

function problemOf(text: string): Problem {
  const expression = compile(parseExpression(`−(${text})`), ['x', 'y'], recording);
  const variables = [0, 1].map((index): GraphNode => ({ type: 'variable', index }));
  const enclosure = new Enclosure([expression(variables)]);
  return {
    over: (box) => enclosure.over(box)[0]!,
    slopes: () => enclosure.slopes(2),
    valueAt: (place) => enclosure.numbersAt(place)[0]!,
    bends: [[], []],
  };
}

const boxOf = (ends: readonly (readonly [number, number])[]): Box =>
  ends.map(([low, high]) => ({ low, high }));

const within =
  (distance: number): IsEnough =>
  (bound, reached) =>
    bound - reached < distance;

test.each(functions)('the minimum of $name is bounded', ({ text, box, minimum, ...more }) => {
  const distance = 'distance' in more ? more.distance : 1e-3;
  const bound = highestOf(problemOf(text), boxOf(box), within(distance), 100_000)!;
  expect(bound.bound - bound.reached).toBeLessThan(distance);
  expect(-bound.bound).toBeLessThanOrEqual(minimum + 1e-12);
  expect(-bound.reached).toBeGreaterThanOrEqual(minimum - 1e-12);
});

test('a search that may cut few boxes still gives a bound, and says that it is open', () => {
  const { text, box, minimum } = functions[0];
  const bound = highestOf(problemOf(text), boxOf(box), within(1e-6), 20)!;
  expect(bound.bound - bound.reached).toBeGreaterThan(1e-6);
  expect(-bound.bound).toBeLessThan(minimum);
  expect(-bound.reached).toBeGreaterThanOrEqual(minimum);
});

test('a part of a box has its bound within that of the whole', () => {
  for (const { text } of functions) {
    const whole = highestOf(
      problemOf(text),
      boxOf([
        [-2, 2],
        [-1, 2],
      ]),
      within(Infinity),
      1,
    )!;
    const part = highestOf(
      problemOf(text),
      boxOf([
        [-1, 1.5],
        [0, 1],
      ]),
      within(Infinity),
      1,
    )!;
    expect(part.bound).toBeLessThanOrEqual(whole.bound);
  }
});

test('a function without a value has no bound', () => {
  const bound = highestOf(
    problemOf('ln(−1 − x^2 − y^2)'),
    boxOf([
      [-1, 1],
      [-1, 1],
    ]),
    within(Infinity),
    100,
  );
  expect(bound).toBeUndefined();
});
