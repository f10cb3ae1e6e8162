import { type Expression, parseExpression } from '../../shared/arithmetic/expression.ts';
import type { Formula } from '../../shared/physics/formula.ts';

/** The symbols that the expression of a formula uses. */
export const symbolsOf = ({ expression }: Formula): Set<string> =>
  new Set(symbolsIn(parseExpression(expression)));

function symbolsIn(expression: Expression): string[] {
  if (expression.type === 'number') return [];
  return expression.type === 'symbol' ? [expression.name] : expression.operands.flatMap(symbolsIn);
}

/** The symbols of the terms and constants of a formula. */
export const statedSymbols = ({ terms, constants = [] }: Formula): string[] =>
  [...Object.values(terms), ...constants].map(({ symbol }) => symbol);
