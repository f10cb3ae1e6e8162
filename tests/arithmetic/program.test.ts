import fc from 'fast-check';
import { expect, test } from 'vitest';
import { numbers, parseExpression } from '../../shared/arithmetic/expression.ts';
import { compile, compileNumbers } from '../../shared/arithmetic/program.ts';

type Numbers = Readonly<Record<string, number>>;

/** The value of an expression, which both compilers agree on. */
function run(text: string, operands: Numbers, constants: Numbers = {}): number {
  const [expression, symbols] = [parseExpression(text), Object.keys(operands)];
  const known = new Map(Object.entries(constants));
  const result = compileNumbers(expression, symbols, known)(Object.values(operands));
  expect(compile(expression, symbols, numbers, known)(Object.values(operands))).toBe(result);
  return result;
}

/** Each operation, and the same written in JavaScript. */
const operations: readonly [string, (a: number, b: number) => number][] = [
  ['a + b', (a, b) => a + b],
  ['a − b', (a, b) => a - b],
  ['a · b', (a, b) => a * b],
  ['a / b', (a, b) => a / b],
  ['a^b', (a, b) => a ** b],
  ['min(a, b)', Math.min],
  ['max(a, b)', Math.max],
  ['−a', (a) => -a],
  ['exp(a)', (a) => Math.exp(a)],
  ['ln(a)', (a) => Math.log(a)],
  ['√(a)', (a) => Math.sqrt(a)],
  ['|a|', (a) => Math.abs(a)],
  ['floor(a)', (a) => Math.floor(a)],
];

test.each(operations)('%s', (text, operation) => {
  fc.assert(
    fc.property(fc.double(), fc.double(), (a, b) => {
      expect(run(text, { a, b })).toBe(operation(a, b));
    }),
  );
});

test('a call does not depend on earlier ones, and parts that occur twice are the same number', () => {
  const expression = parseExpression('(a + b) · (a + b) − (k − 1) / k · b');
  const compiled = compileNumbers(expression, ['a', 'b'], new Map([['k', 1.4]]));
  fc.assert(
    fc.property(fc.double({ noNaN: true }), fc.double({ noNaN: true }), (a, b) => {
      expect(compiled([a, b])).toBe((a + b) * (a + b) - ((1.4 - 1) / 1.4) * b);
    }),
  );
});

test('an expression may be a symbol, a constant or a number alone', () => {
  expect(run('a', { b: 1, a: 2 })).toBe(2);
  expect(run('k', { a: 1 }, { k: 3 })).toBe(3);
  expect(run('2^(3 − 1)', { a: 1 })).toBe(4);
});

test('a symbol hides a constant of the same name, and an unknown one has no value', () => {
  expect(run('a', { a: 1 }, { a: 2 })).toBe(1);
  expect(() => run('a · c', { a: 1 })).toThrow(new ReferenceError('"c" is not defined'));
});
