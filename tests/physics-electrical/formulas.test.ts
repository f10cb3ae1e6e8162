import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { electricalFormulas } from '../../shared/physics/electrical.ts';
import type { Formula } from '../../shared/physics/formula.ts';
import { evaluate, symbolsOf } from '../physics/expression.ts';
import { outsideValues } from '../reference/values/index.ts';

/** Arbitrary numbers in the valid range of the formula. */
function validInputs(formula: Formula): fc.Arbitrary<Record<string, number>> {
  const ranges = Object.entries(formula.terms).map(([name, { valid }]) => {
    if (!valid) throw new Error(`${formula.id}: ${name} has no valid range`);
    return [name, fc.double({ min: valid[0], max: valid[1], noNaN: true })] as const;
  });
  return fc.record(Object.fromEntries(ranges));
}

test('every formula has a value from outside', () => {
  const checked = new Set(
    Object.values(outsideValues).flatMap((values) => values.map(({ formula }) => formula.id)),
  );
  expect(electricalFormulas.map(({ id }) => id).filter((id) => !checked.has(id))).toEqual([]);
});

describe.each(electricalFormulas.map((formula) => ({ id: formula.id, formula })))('$id', ({ formula }) => {
  test('uses each of its symbols, and no other', () => {
    const symbols = [...Object.values(formula.terms), ...(formula.constants ?? [])].map(
      ({ symbol }) => symbol,
    );
    expect([...symbolsOf(formula.expression)].sort()).toEqual(symbols.sort());
  });

  test('computes what it says', () => {
    fc.assert(
      fc.property(validInputs(formula), (inputs) => {
        const said = evaluate(formula, inputs);
        const result = formula(inputs);
        // If both overflow or are undefined (two points in one place), they must still agree.
        if (Object.is(result, said)) return;
        expect(Math.abs(result - said)).toBeLessThanOrEqual(1e-9 * Math.abs(said));
      }),
    );
  });
});
