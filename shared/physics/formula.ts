import { type Arithmetic, parseExpression } from '../arithmetic/expression.ts';
import { type Compiled, compile, compileNumbers } from '../arithmetic/program.ts';
import type { SourceKey } from './sources.ts';

/**
 * One symbol of a formula. `unit` is the canonical unit of the number that is computed with: SI, except crank speed in
 * rpm and crank angle in degrees, as is usual in the trade. `show` is the unit for display.
 */
export interface Term {
  readonly symbol: string;
  readonly label: string;
  readonly unit: string;
  readonly show?: string;
  /** Range (canonical unit) in which the formula is meant to hold. */
  readonly valid?: readonly [low: number, high: number];
}

export interface Constant {
  readonly symbol: string;
  readonly value: number;
  readonly unit: string;
  /** Where the number comes from, if not from the formula's own source. */
  readonly source?: SourceKey;
}

export interface FormulaDefinition<Inputs extends string> {
  readonly id: string;
  readonly title: string;
  /**
   * The right-hand side in the trade's notation: `·`, `−`, `^(…)`, `√(…)`, `max`, `min`, `exp`, `ln`, with
   * symbols of terms and constants separated, so that numbers can be substituted. Limits are written out. The formula
   * is computed from this text. With `compute` it is only a text for the reader.
   */
  readonly expression: string;
  readonly terms: Readonly<Record<Inputs, Term>>;
  readonly constants?: readonly Constant[];
  readonly result: Term;
  /** The source of the expression: one equation, section or table, or a note that it is a definition. */
  readonly source: SourceKey;
  /** Only for a function without a closed expression, such as polynomials by range. */
  readonly compute?: ((inputs: Readonly<Record<Inputs, number>>) => number) | undefined;
}

/**
 * A function on canonical numbers that also describes itself, for display and tests.
 */
export type Formula<Inputs extends string = string> = ((inputs: Readonly<Record<Inputs, number>>) => number) &
  FormulaDefinition<Inputs> & {
    /** The names of the terms. */
    readonly names: readonly Inputs[];
    /** The source of the expression, then those of its constants. */
    readonly sources: readonly SourceKey[];
    /** The value for numbers in the order of the terms. */
    readonly of: Compiled<number>;
    /**
     * The expression in any arithmetic, such as intervals.
     * @throws TypeError for a formula without one, which has `compute`
     */
    in<T>(arithmetic: Arithmetic<T>): Compiled<T>;
  };

/**
 * Makes a callable formula. It never throws on finite input, and computes outside `valid` as well.
 */
export function formula<Inputs extends string>(definition: FormulaDefinition<Inputs>): Formula<Inputs> {
  const names = Object.keys(definition.terms) as Inputs[];
  const { id, title, expression, terms, constants = [], result, source, compute } = definition;
  const ofConstants = constants.flatMap((constant) => constant.source ?? []);
  const of = compute
    ? (operands: readonly number[]) => compute(inputsOf(names, operands))
    : compiled(definition);
  const call = (inputs: Readonly<Record<Inputs, number>>): number => {
    const operands: number[] = [];
    for (let i = 0; i < names.length; i++) operands.push(inputs[names[i]!]);
    return of(operands);
  };
  const byArithmetic = new Map<object, unknown>();
  const inArithmetic = <T>(arithmetic: Arithmetic<T>): Compiled<T> => {
    const known = byArithmetic.get(arithmetic) as Compiled<T> | undefined;
    if (known) return known;
    const made = compileFormula(definition, (expression, symbols, constants) =>
      compile(expression, symbols, arithmetic, constants),
    );
    byArithmetic.set(arithmetic, made);
    return made;
  };
  const sources = [...new Set([source, ...ofConstants])];
  const described = { id, title, expression, terms, constants, result, source, compute };
  // All formulas have the same properties in the same order, which JavaScript engines read several times as fast.
  return Object.assign(call, described, { names, sources, of, in: inArithmetic });
}

/** Few formulas are needed for one request, so each is compiled when it is first used. */
function compiled(definition: FormulaDefinition<string>): Compiled<number> {
  let made: Compiled<number> | undefined;
  return (operands) => {
    made ??= compileFormula(definition, compileNumbers);
    return made(operands);
  };
}

const inputsOf = <Inputs extends string>(names: readonly Inputs[], operands: readonly number[]) =>
  Object.fromEntries(names.map((name, i) => [name, operands[i]])) as Record<Inputs, number>;

function compileFormula<T>(
  { id, expression, terms, constants = [], compute }: FormulaDefinition<string>,
  compileTo: (...parts: Parameters<typeof compileNumbers>) => Compiled<T>,
): Compiled<T> {
  if (compute) throw new TypeError(`The formula ${id} has no expression`);
  const symbols = Object.values(terms).map(({ symbol }) => symbol);
  // A formula that only says where a number is read has that text as its one symbol.
  if (symbols.length === 1 && symbols[0] === expression) return (operands) => operands[0]!;
  const values = new Map(constants.map(({ symbol, value }) => [symbol, value]));
  return compileTo(parseExpression(expression), symbols, values);
}

/** `T₂ = T₁ · (…)`: the formula for display. */
export function formulaText(definition: Pick<FormulaDefinition<string>, 'expression' | 'result'>): string {
  return `${definition.result.symbol} = ${definition.expression}`;
}

type Units = Pick<Term, 'unit' | 'show'>;

/** The same formula for a quantity whose units the file defines: those of `terms`, by name, and of the result. */
export function inUnits<Inputs extends string>(
  given: Formula<Inputs>,
  terms: Readonly<Partial<Record<Inputs, Units>>>,
  result: Units,
): Formula<Inputs> {
  const told: Record<Inputs, Term> = { ...given.terms };
  for (const name in terms) told[name] = { ...told[name], ...terms[name] };
  const call = (inputs: Readonly<Record<Inputs, number>>): number => given(inputs);
  return Object.assign(call, given, { terms: told, result: { ...given.result, ...result } });
}

/** A formula that only says where a number is read: from a table, or from the file. */
export function lookedUp(
  id: string,
  symbol: string,
  where: string,
  unit: string,
  show = unit,
  source: SourceKey = 'definition',
): Formula<'found'> {
  return formula({
    id,
    title: where,
    expression: where,
    terms: { found: { symbol: where, label: where, unit, show } },
    result: { symbol, label: where, unit, show },
    source,
  });
}
