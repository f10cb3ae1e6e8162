import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import { type Formula, formulaText, type Term } from '../physics/formula.ts';
import type { SourceKey } from '../physics/sources.ts';
import { formatQuantity, type PressureReference, type Quantity, toUnit } from '../quantity/index.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';

/** A number in a formula, and where it comes from. Bound quantities and derived values are operands. */
export interface Operand {
  readonly canonical: number;
  /** The place of the number in the file. */
  readonly node?: Node;
  /** The number as written, with its tolerance; only of a quantity of the file. */
  readonly quantity?: Quantity;
  /** The reference of a pressure that a sensor reads, whose `quantity` does not state one. */
  readonly reference?: PressureReference;
  /** The table that it was read from, to be found in the engine that is shown. */
  readonly table?: WhichTable;
  /** The derived value, if it is one. */
  readonly derived?: DerivedValue;
  /** The result of an intermediate formula without a name of its own, if it is one. */
  readonly between?: Result;
  /** How it was obtained, unless it is simply read from the file: `table at 5500 rpm, 150 kPa abs`. */
  readonly how?: string;
  /** If the operand is one of two, depending on the state. */
  readonly switched?: Switched;
  /** Where a number comes from that the file does not state: the density of a fuel grade. */
  readonly source?: SourceKey;
}

/** The reference of a pressure, as the file or the scaling of its sensor states it. */
export const referenceOfOperand = (operand: MaybeOperand): PressureReference | undefined => {
  const { quantity, reference } = (operand ?? {}) as Partial<Operand>;
  return quantity?.reference ?? reference;
};

/** The place of an operand; undefined for the result of an intermediate formula. */
export const placeOfOperand = (operand: MaybeOperand): Node | undefined =>
  operand && 'node' in operand ? operand.node : undefined;

/** One of two operands, depending on other numbers; for example, those of a loop that is inactive below a speed. */
export interface Switched {
  /** The operand if every number is in its range, ends included. */
  readonly within: Operand;
  readonly outside: Operand;
  readonly ranges: readonly {
    readonly of: Operand | DerivedValue;
    readonly low: number;
    readonly high: number;
  }[];
}

/** The operand that applies, together with both alternatives for evaluation in other states. */
export function switched(choice: Switched): Operand {
  const { within, outside, ranges } = choice;
  const isWithin = ranges.every(({ of: { canonical }, low, high }) => low <= canonical && canonical <= high);
  return { ...(isWithin ? within : outside), switched: choice };
}

/** One of two, by whether every number is in its range. */
export const chosen = <T>(
  within: T,
  outside: T,
  ranges: readonly { readonly of: number; readonly low: number; readonly high: number }[],
): T => (ranges.every(({ of, low, high }) => low <= of && of <= high) ? within : outside);

export interface Input extends Operand {
  readonly term: Term;
}

/** A number that follows from the configuration, with what a reader needs to trust it. */
export interface DerivedValue {
  readonly id: string;
  readonly label: string;
  /** In `unit`, the canonical one. */
  readonly canonical: number;
  readonly unit: string;
  /** The unit for display. */
  readonly show: string;
  /** The value for programs, in the canonical unit (`1` for none) or in another one that is usual in the trade. */
  readonly reported: { readonly value: number; readonly unit: string };
  /** `T₂ = T₁ · …` */
  readonly formula: string;
  /** The right-hand side with its numbers, and the result. */
  readonly substituted: string;
  /** That of the formula first, then those of constants and of inputs that the file does not state. */
  readonly sources: readonly SourceKey[];
  readonly inputs: readonly Input[];
  /** The result of the formula, without a name. */
  readonly result: Result;
  /** The place in the file at which an editor shows it. */
  readonly node: Node;
  /** Dotted key path of that place. */
  readonly at: string;
  readonly note: string | undefined;
}

/** The result of a formula: the number and its inputs. */
export interface Result {
  readonly canonical: number;
  readonly formula: Formula;
  readonly inputs: readonly Input[];
  readonly note: string | undefined;
}

/** An operand that may be missing: a key that is not in the file, or a value that could not be derived. */
export type MaybeOperand = Operand | DerivedValue | Result | undefined;

/** Thousands of results are computed for each one that is displayed, so its explanation is built on demand. */
class AppliedFormula implements Result {
  constructor(
    readonly canonical: number,
    readonly formula: Formula,
    readonly operands: Readonly<Record<string, MaybeOperand>>,
    readonly note: string | undefined,
  ) {}

  get inputs(): Input[] {
    const { names, terms } = this.formula;
    return names.map((name) => ({ ...asOperand(this.operands[name]!), term: terms[name]! }));
  }
}

/** The operands of the formula that is being applied. One list for all saves thousands of short ones. */
const numbers: number[] = [];

/**
 * Applies a formula to operands; undefined if one of them is missing or physically impossible, as a negative mass is,
 * or if the result is impossible or not a finite number.
 */
export function apply<Inputs extends string>(
  formula: Formula<Inputs>,
  operands: Readonly<Record<Inputs, MaybeOperand>>,
  note?: string,
): Result | undefined {
  const { names } = formula;
  for (let i = 0; i < names.length; i++) {
    const operand = operands[names[i]!];
    if (!operand) return undefined;
    const { canonical } = operand;
    if (canonical < 0 && isNeverNegative(formula.terms[names[i]!])) return undefined;
    numbers[i] = canonical;
  }
  const canonical = formula.of(numbers);
  if (!Number.isFinite(canonical) || (canonical < 0 && isNeverNegative(formula.result))) return undefined;
  return new AppliedFormula(canonical, formula as unknown as Formula, operands, note);
}

const isNeverNegative = ({ valid }: Term): boolean => valid !== undefined && valid[0] >= 0;

/** The same result with a note, for example where the highest of several values was found. */
export function withNote(result: Result, note: string): Result {
  if (result instanceof PlacedResult) return placedIn(result.tables, withNote(result.unplaced, note));
  const { canonical, formula, operands } = result as AppliedFormula;
  return new AppliedFormula(canonical, formula, operands, note);
}

/** A result with the operands that its formula was given, by the names of the formula's terms. */
export interface Applied extends Result {
  readonly operands: Readonly<Record<string, MaybeOperand>>;
}

/**
 * The application of a formula that a result comes from: the same object, whichever engine's tables the result refers
 * to.
 */
export const applicationOf = (result: Result): Applied =>
  (result instanceof PlacedResult ? result.unplaced : result) as AppliedFormula;

/** The engine whose tables a result refers to; undefined for a result that names none. */
export const tablesOf = (result: Result): EngineConfiguration | undefined =>
  result instanceof PlacedResult ? result.tables : undefined;

/**
 * A result with the table places of one engine. The same numbers may be reused for many versions of an engine; their
 * places are looked up in the version that is shown.
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

/** The result with its table places looked up in an engine. */
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
  const { canonical, node, quantity, reference, table, derived, between, how, source } = operand;
  return {
    canonical,
    ...(node && { node }),
    ...(quantity && { quantity }),
    ...(reference && { reference }),
    ...(table && { table }),
    ...(derived && { derived }),
    ...(between && { between }),
    ...(how !== undefined && { how }),
    ...(source && { source }),
  };
}

/** The same operand with another explanation of where it comes from. */
export function withReason(operand: Operand | DerivedValue | Result, how: string): Operand {
  return { ...asOperand(operand), how };
}

export interface Naming {
  readonly id: string;
  readonly label: string;
  /** If not that of the formula's result term. */
  readonly show?: string;
  /** The unit for programs, if not the canonical one. */
  readonly reportIn?: string;
  /** Significant digits for display, if not the usual ones. */
  readonly digits?: number;
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
  get digits() {
    return this.naming.digits;
  }
  get formula() {
    return formulaText(this.result.formula);
  }
  get substituted() {
    return substitute(this.result);
  }
  get sources() {
    const ofInputs = this.inputs.flatMap(({ source }) => source ?? []);
    return [...new Set([...this.result.formula.sources, ...ofInputs])];
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

/** The value with its tables looked up in an engine, unless it already names one. */
export function placedValue(tables: EngineConfiguration, value: DerivedValue): DerivedValue {
  const { naming, result, node } = value as NamedResult;
  return tablesOf(result) ? value : new NamedResult(naming, placedIn(tables, result), node);
}

/** Gives a result its name and its place. */
export function derivedValue(naming: Naming, result: Result, node: Node): DerivedValue {
  return new NamedResult(naming, result, node);
}

const SYMBOL = /([A-Za-zΑ-Ωα-ωΔ][\p{L}\p{N}_₀-₉′]*)(\^)?/gu;

/** Constants are shown with all their digits. */
const CONSTANT_DIGITS = 8;
/** One digit more than a result has, so that whoever calculates a formula again gets the digits of the result. */
const OPERAND_DIGITS = 4;

const ownUnit = ({ show, unit }: Term): string => show ?? unit;

/** `293 K · (1 + (1.6^((1.4 − 1)/1.4) − 1) / 70 %) = 353 K`; `unitOf` gives the unit of each number. */
export function substitute({ formula, inputs, canonical: result }: Result, unitOf = ownUnit): string {
  const known = new Map<string, string>();
  for (const { symbol, value, unit } of formula.constants ?? [])
    known.set(symbol, formatQuantity(value, unit, CONSTANT_DIGITS));
  for (const { term, canonical } of inputs)
    known.set(term.symbol, formatQuantity(canonical, unitOf(term), OPERAND_DIGITS));
  const [only] = inputs;
  // A value that was only read has no numbers to substitute; show where it was read.
  if (only && formula.expression === only.term.symbol) {
    return `${only.how ?? 'stated in the file'}: ${formatQuantity(result, unitOf(formula.result))}`;
  }
  const expression = formula.expression.replace(
    SYMBOL,
    (whole, symbol: string, power: string | undefined) => {
      const text = known.get(symbol);
      if (text === undefined) return whole;
      // A power applies to number and unit.
      if (power === undefined) return text;
      return text.includes(' ') ? `(${text})^` : `${text}^`;
    },
  );
  return `${expression} = ${formatQuantity(result, unitOf(formula.result))}`;
}

/** A derived value for display: `1.52 ms`. */
export function valueText(
  value: Pick<DerivedValue, 'canonical' | 'show'> & { readonly digits?: number | undefined },
): string {
  return formatQuantity(value.canonical, value.show, value.digits);
}
