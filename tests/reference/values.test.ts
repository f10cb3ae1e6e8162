import { describe, expect, test } from 'vitest';
import type { OutsideValue } from './outside-value.ts';
import { outsideValues } from './values/index.ts';

function given({ formula, inputs }: OutsideValue): string {
  const terms = Object.entries(formula.terms).map(
    ([name, term]) => `${term.symbol} ${inputs[name]} ${term.unit}`,
  );
  return terms.join(', ');
}

describe.each(Object.entries(outsideValues))('%s agrees with the outside', (_subject, values) => {
  test.each(values.map((value) => ({ value, name: `${value.formula.id} at ${given(value)}` })))(
    '$name',
    ({ value: { formula, inputs, expected, tolerance, source } }) => {
      const result = formula(inputs);
      if (result === expected) return;
      const scale = expected === 0 ? 1 : Math.abs(expected);
      expect(
        Math.abs(result - expected) / scale,
        `${result}, not ${expected}: ${source}`,
      ).toBeLessThanOrEqual(tolerance);
    },
  );
});
