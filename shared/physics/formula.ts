import type { SourceKey } from './sources.ts';

/**
 * One symbol of a formula. `unit` is the canonical unit of the number in `compute`: SI, except crank speed in rpm and
 * crank angle in degrees, as is usual in the trade. `show` is the unit for display.
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
   * symbols of terms and constants separated, so that numbers can be substituted. Limits are written out.
   */
  readonly expression: string;
  readonly terms: Readonly<Record<Inputs, Term>>;
  readonly constants?: readonly Constant[];
  readonly result: Term;
  /** The one equation, section or table that the expression comes from, or that it is a definition. */
  readonly source: SourceKey;
  compute(inputs: Readonly<Record<Inputs, number>>): number;
}

/**
 * A function on canonical numbers that also describes itself, for display and tests.
 */
export type Formula<Inputs extends string = string> = ((inputs: Readonly<Record<Inputs, number>>) => number) &
  FormulaDefinition<Inputs> & {
    /** The source of the expression, then those of its constants. */
    readonly sources: readonly SourceKey[];
  };

/**
 * Makes a callable formula. It never throws on finite input, and computes outside `valid` as well.
 */
export function formula<Inputs extends string>(definition: FormulaDefinition<Inputs>): Formula<Inputs> {
  const call = (inputs: Readonly<Record<Inputs, number>>): number => definition.compute(inputs);
  const ofConstants = (definition.constants ?? []).flatMap(({ source }) => source ?? []);
  return Object.assign(call, definition, { sources: [...new Set([definition.source, ...ofConstants])] });
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
  return formula({ ...given, terms: told, result: { ...given.result, ...result } });
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
    compute: ({ found }) => found,
  });
}
