import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import { type Formula, formulaText, type Term } from '../physics/formula.ts';
import type { SourceKey } from '../physics/sources.ts';
import { formatQuantity, toUnit } from '../quantity/index.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';

/** A number that goes into a formula, and where it comes from. Bound quantities and derived values are operands. */
export interface Operand {
  readonly canonical: number;
  /** The place where the number is written. */
  readonly node?: Node;
  /** The table that it was read from; the engine in which the reader finds it says where that is written. */
  readonly table?: WhichTable;
  /** The derived value that it is. */
  readonly derived?: DerivedValue;
  /** The result that it is, of a formula between that has no name of its own. */
  readonly between?: Result;
  /** How it came about where it was not simply read: `map at 5500 rpm, 150 kPa abs`. */
  readonly how?: string;
}

/** Where an operand is written or placed; undefined for the result of a formula between. */
export const placeOfOperand = (operand: MaybeOperand): Node | undefined =>
  operand && 'node' in operand ? operand.node : undefined;

export interface Input extends Operand {
  readonly term: Term;
}

/** A number that follows from the configuration, with everything that a reader needs to trust it. */
export interface DerivedValue {
  readonly id: string;
  readonly label: string;
  /** In `unit`, the canonical one. */
  readonly canonical: number;
  readonly unit: string;
  /** The unit that people read. */
  readonly show: string;
  /** What programs are told: the canonical unit (`1` for none) or, where the trade reports another, that one. */
  readonly reported: { readonly value: number; readonly unit: string };
  /** `T₂ = T₁ · …` */
  readonly formula: string;
  /** The right-hand side with its numbers put in, and the result. */
  readonly substituted: string;
  readonly sources: readonly SourceKey[];
  readonly inputs: readonly Input[];
  /** What the formula gave, before it was named. */
  readonly result: Result;
  /** The place that it says something about; an editor shows it there. */
  readonly node: Node;
  /** Dotted key path of that place. */
  readonly at: string;
  readonly note: string | undefined;
}

/** What a formula gave: the number, and what went in. */
export interface Result {
  readonly canonical: number;
  readonly formula: Formula;
  readonly inputs: readonly Input[];
  readonly note: string | undefined;
}

/** An operand that may be wanting: a key not written, or a value that could not be derived. */
export type MaybeOperand = Operand | DerivedValue | Result | undefined;

/** Thousands of results are made for every one that is read, so what only a reader wants is made when asked for. */
class AppliedFormula implements Result {
  constructor(
    readonly canonical: number,
    readonly formula: Formula,
    readonly operands: Readonly<Record<string, MaybeOperand>>,
    readonly note: string | undefined,
  ) {}

  get inputs(): Input[] {
    return Object.entries(this.formula.terms).map(([name, term]) => ({
      ...asOperand(this.operands[name]!),
      term,
    }));
  }
}

/** Applies a formula to operands; undefined where one of them is wanting or the result is no number. */
export function apply<Inputs extends string>(
  formula: Formula<Inputs>,
  operands: Readonly<Record<Inputs, MaybeOperand>>,
  note?: string,
): Result | undefined {
  const numbers = {} as Record<Inputs, number>;
  for (const name in formula.terms) {
    const operand = operands[name];
    if (!operand) return undefined;
    numbers[name] = operand.canonical;
  }
  const canonical = formula(numbers);
  if (Number.isNaN(canonical)) return undefined;
  return new AppliedFormula(canonical, formula as unknown as Formula, operands, note);
}

/** The same result with a word about it: where the highest of several was found, say. */
export function withNote(result: Result, note: string): Result {
  if (result instanceof PlacedResult) return placedIn(result.tables, withNote(result.unplaced, note));
  const { canonical, formula, operands } = result as AppliedFormula;
  return new AppliedFormula(canonical, formula, operands, note);
}

/** A result with the operands that its formula was given, by the names of the formula's terms. */
export interface Applied extends Result {
  readonly operands: Readonly<Record<string, MaybeOperand>>;
}

/** The application of a formula that a result comes from, whatever tables it is placed in: one object for each. */
export const applicationOf = (result: Result): Applied =>
  (result instanceof PlacedResult ? result.unplaced : result) as AppliedFormula;

/**
 * A result as the tables of one engine give it. The same numbers may stand in many versions of an engine and be kept through
 * all of them; where a number is written is found in the version that is looked at.
 */
class PlacedResult implements Result {
  constructor(
    readonly unplaced: Result,
    readonly tables: EngineConfiguration,
  ) {}

  get canonical() {
    return this.unplaced.canonical;
  }
  get formula() {
    return this.unplaced.formula;
  }
  get note() {
    return this.unplaced.note;
  }
  get inputs(): Input[] {
    return this.unplaced.inputs.map((input) => placedInput(input, this.tables));
  }
}

/** The result with its tables found in an engine. */
export function placedIn(tables: EngineConfiguration, result: Result): Result {
  return new PlacedResult(result instanceof PlacedResult ? result.unplaced : result, tables);
}

function placedInput(input: Input, tables: EngineConfiguration): Input {
  const { table, derived, between } = input;
  const node = table?.(tables)?.node;
  if (node) return { ...input, node };
  if (between) return { ...input, between: placedIn(tables, between) };
  if (!(derived instanceof NamedResult && derived.result instanceof PlacedResult)) return input;
  return { ...input, derived: derivedValue(derived.naming, placedIn(tables, derived.result), derived.node) };
}

function asOperand(operand: Operand | DerivedValue | Result): Operand {
  if ('id' in operand) return { canonical: operand.canonical, derived: operand };
  if ('formula' in operand)
    return { canonical: operand.canonical, between: operand, how: formulaText(operand.formula) };
  const { canonical, node, table, derived, between, how } = operand;
  return {
    canonical,
    ...(node && { node }),
    ...(table && { table }),
    ...(derived && { derived }),
    ...(between && { between }),
    ...(how !== undefined && { how }),
  };
}

/** The same operand with another word about why it stands here. */
export function because(operand: Operand | DerivedValue | Result, how: string): Operand {
  return { ...asOperand(operand), how };
}

export interface Naming {
  readonly id: string;
  readonly label: string;
  /** Where the formula's own result term would not do. */
  readonly show?: string;
  /** The unit that programs are told, where it is not the canonical one. */
  readonly reportIn?: string;
}

class NamedResult implements DerivedValue {
  constructor(
    readonly naming: Naming,
    readonly result: Result,
    readonly node: Node,
  ) {}

  get id() {
    return this.naming.id;
  }
  get label() {
    return this.naming.label;
  }
  get canonical() {
    return this.result.canonical;
  }
  get unit() {
    return this.result.formula.result.unit;
  }
  get show() {
    const { show, unit } = this.result.formula.result;
    return this.naming.show ?? show ?? unit;
  }
  get reported() {
    const unit = this.naming.reportIn;
    if (unit !== undefined) return { value: toUnit(this.canonical, unit), unit };
    return { value: this.canonical, unit: this.unit || '1' };
  }
  get formula() {
    return formulaText(this.result.formula);
  }
  get substituted() {
    return substitute(this.result);
  }
  get sources() {
    return this.result.formula.sources;
  }
  get inputs() {
    return this.result.inputs;
  }
  get at() {
    return pathText(pathOf(this.node));
  }
  get note() {
    return this.result.note;
  }
}

/** Gives a result its name, and the place that it says something about. */
export function derivedValue(naming: Naming, result: Result, node: Node): DerivedValue {
  return new NamedResult(naming, result, node);
}

const SYMBOL = /([A-Za-zΑ-Ωα-ωΔ][\p{L}\p{N}_₀-₉′]*)(\^)?/gu;

/** Constants are shown as exactly as they are used. */
const CONSTANT_DIGITS = 8;
/** One digit more than a result has, so that whoever calculates a formula again gets the digits of the result. */
const OPERAND_DIGITS = 4;

const ownUnit = ({ show, unit }: Term): string => show ?? unit;

/** `293 K · (1 + (1.6^((1.4 − 1)/1.4) − 1) / 70 %) = 353 K`; `unitOf` says in which unit each number stands. */
export function substitute({ formula, inputs, canonical: result }: Result, unitOf = ownUnit): string {
  const known = new Map<string, string>();
  for (const { symbol, value, unit } of formula.constants ?? [])
    known.set(symbol, formatQuantity(value, unit, CONSTANT_DIGITS));
  for (const { term, canonical } of inputs)
    known.set(term.symbol, formatQuantity(canonical, unitOf(term), OPERAND_DIGITS));
  const [only] = inputs;
  // A value that was only looked up has nothing to put in; where it was found is what a reader wants to know.
  if (only && formula.expression === only.term.symbol) {
    return `${only.how ?? 'as written'}: ${formatQuantity(result, unitOf(formula.result))}`;
  }
  const expression = formula.expression.replace(
    SYMBOL,
    (whole, symbol: string, power: string | undefined) => {
      const text = known.get(symbol);
      if (text === undefined) return whole;
      // A power belongs to number and unit alike.
      if (power === undefined) return text;
      return text.includes(' ') ? `(${text})^` : `${text}^`;
    },
  );
  return `${expression} = ${formatQuantity(result, unitOf(formula.result))}`;
}

/** A derived value as people read it: `1.52 ms`. */
export function valueText(value: Pick<DerivedValue, 'canonical' | 'show'>): string {
  return formatQuantity(value.canonical, value.show);
}
