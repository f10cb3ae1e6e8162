import type { Formula } from '../../shared/physics/formula.ts';
import { type ThermocoupleType, thermocoupleVoltage } from '../../shared/physics/thermocouple.ts';

/** The symbol of a term, found as `shared/derived` does to substitute numbers. */
const SYMBOL = /[A-Za-zΑ-Ωα-ωΔ][\p{L}\p{N}_₀-₉′]*/gu;
const OPERATORS: Readonly<Record<string, string>> = { '·': '*', '−': '-', '^': '**', '√': 'Math.sqrt' };
const FUNCTIONS: Readonly<Record<string, string>> = {
  max: 'Math.max',
  min: 'Math.min',
  exp: 'Math.exp',
  ln: 'Math.log',
  floor: 'Math.floor',
  π: 'Math.PI',
  ...Object.fromEntries(['E', 'J', 'K', 'N', 'T'].map((type) => [`E_${type}`, `reference.${type}`])),
};

const voltage = (type: ThermocoupleType) => (temperature: number) => thermocoupleVoltage(type, temperature);

/** Formulas without an expression, only a name; printed tables verify them. */
const reference: Readonly<Record<ThermocoupleType, ReturnType<typeof voltage>>> = {
  E: voltage('E'),
  J: voltage('J'),
  K: voltage('K'),
  N: voltage('N'),
  T: voltage('T'),
};

/** The symbols that an expression uses. */
export function symbolsOf(expression: string): Set<string> {
  return new Set((expression.match(SYMBOL) ?? []).filter((symbol) => !(symbol in FUNCTIONS)));
}

/** Computes a formula from its printed expression, not from its code. */
export function evaluate(formula: Formula, inputs: Readonly<Record<string, number>>): number {
  const known = new Map<string, number>();
  for (const { symbol, value } of formula.constants ?? []) known.set(symbol, value);
  for (const [name, { symbol }] of Object.entries(formula.terms)) known.set(symbol, inputs[name]!);
  const code = formula.expression
    .replace(SYMBOL, (symbol) => FUNCTIONS[symbol] ?? `(${known.get(symbol)})`)
    .replace(/\|([^|]+)\|/g, 'Math.abs($1)')
    .replace(/[·−^√]/g, (operator) => OPERATORS[operator]!);
  return new Function('reference', `return ${code}`)(reference);
}
