import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { TableValue } from '../configuration/values.ts';
import type { Formula } from '../physics/formula.ts';
import { Lookup } from './table-reading.ts';
import {
  type Applied,
  applicationOf,
  type DerivedValue,
  type Operand,
  type Result,
  tablesOf,
} from './value.ts';

/**
 * Records how values are derived from numbers, as a list of steps that refer to earlier ones. A derivation is recorded
 * once, in one state, and can then be evaluated for other numbers, for intervals, and for slopes. This is valid because
 * which formulas apply depends on what a file states, not on the size of a number.
 */
export type Step =
  | { readonly type: 'input'; readonly operand: Operand }
  | { readonly type: 'table'; readonly table: TableValue; readonly x: number; readonly y: number | undefined }
  | { readonly type: 'formula'; readonly formula: Formula; readonly operands: readonly number[] }
  | {
      readonly type: 'switch';
      readonly within: number;
      readonly outside: number;
      readonly ranges: readonly Range[];
    };

/** A step, and the range that its value must be in for a switch to select `within`. */
interface Range {
  readonly of: number;
  readonly low: number;
  readonly high: number;
}

/** Records derivations; values derived from the same numbers in the same way share a step. */
export class Trace {
  readonly steps: Step[] = [];
  readonly #known = new Map<object, number>();
  readonly #alike = new Map<string, number>();
  readonly #numbers = new Map<object, number>();

  /** `tables` is the engine whose tables are used for results that do not name an engine themselves. */
  constructor(readonly tables?: EngineConfiguration) {}

  /**
   * The index of the step that yields an operand. `tables` is the engine of the value that it is an operand of, if
   * there is one: what a value follows from may have been derived for an earlier version of its engine.
   */
  indexOf(operand: Operand | DerivedValue | Result, tables?: EngineConfiguration): number {
    const source = sourceOf(operand);
    const known = this.#known.get(source);
    if (known !== undefined) return known;
    const step = this.#step(source, tables ?? placeOf(operand) ?? this.tables);
    const key = this.#keyOf(step);
    const index = this.#alike.get(key) ?? this.steps.push(step) - 1;
    this.#alike.set(key, index);
    this.#known.set(source, index);
    return index;
  }

  /**
   * Equal for steps with the same value. An assumed number has an explanation (`how`); a state variable has only its
   * identity.
   */
  #keyOf(step: Step): string {
    if (step.type === 'formula') return `formula ${this.#numberOf(step.formula)} ${step.operands.join(' ')}`;
    if (step.type === 'table') return `table ${this.#numberOf(step.table)} ${step.x} ${step.y}`;
    if (step.type === 'switch') {
      const ranges = step.ranges.map(({ of, low, high }) => `${of} ${low} ${high}`);
      return `switch ${step.within} ${step.outside} ${ranges.join(' ')}`;
    }
    const { canonical, node, how } = step.operand;
    if (node) return `node ${this.#numberOf(node)} ${canonical}`;
    return how === undefined ? `state ${this.#numberOf(step.operand)}` : `number ${canonical}`;
  }

  #numberOf(object: object): number {
    const number = this.#numbers.get(object) ?? this.#numbers.size;
    this.#numbers.set(object, number);
    return number;
  }

  #step(source: Operand | Applied, tables: EngineConfiguration | undefined): Step {
    const index = (operand: Operand | DerivedValue | Result) => this.indexOf(operand, tables);
    if ('formula' in source) {
      const { formula, operands } = source;
      return {
        type: 'formula',
        formula,
        operands: formula.names.map((name) => index(operands[name]!)),
      };
    }
    if (source.switched) {
      const { within, outside, ranges } = source.switched;
      return {
        type: 'switch',
        within: index(within),
        outside: index(outside),
        ranges: ranges.map(({ of, low, high }) => ({ of: index(of), low, high })),
      };
    }
    if (!(source instanceof Lookup)) return { type: 'input', operand: source };
    const table = tables && source.table(tables);
    if (!table) throw new TypeError('A number was read from a table of an unknown engine');
    const { x, y } = source;
    return { type: 'table', table, x: index(x), y: y && index(y) };
  }
}

/** The object that identifies an operand, whether it is given as an operand, a derived value or a result. */
function sourceOf(operand: Operand | DerivedValue | Result): Operand | Applied {
  if ('id' in operand) return applied(operand.result);
  if ('formula' in operand) return applied(operand);
  const { derived, between } = operand;
  if (between) return applied(between);
  return derived ? applied(derived.result) : operand;
}

/** The application of a formula or, if the formula only says where a number was read, the origin of that number. */
function applied(result: Result): Operand | Applied {
  const found = applicationOf(result);
  const [only, ...others] = Object.entries(found.formula.terms);
  const isRead = others.length === 0 && only?.[1].symbol === found.formula.expression;
  return isRead ? sourceOf(found.operands[only[0]]!) : found;
}

const placeOf = (operand: Operand | DerivedValue | Result): EngineConfiguration | undefined => {
  if ('id' in operand) return tablesOf(operand.result);
  if ('formula' in operand) return tablesOf(operand);
  const result = operand.between ?? operand.derived?.result;
  return result && tablesOf(result);
};

/** Whether every step has an expression or is read, so that the trace can be evaluated in any arithmetic. */
export const isReadable = ({ steps }: Pick<Trace, 'steps'>): boolean =>
  steps.every((step) => step.type !== 'formula' || !step.formula.compute);

/** Evaluates the steps of a trace as values of some type. */
export interface Reading<T> {
  input(operand: Operand): T;
  table(table: TableValue, x: T, y: T | undefined): T;
  formula(formula: Formula, operands: readonly T[]): T;
  /** Selects the value within all ranges or the one outside. */
  choose(within: T, outside: T, ranges: readonly { of: T; low: number; high: number }[]): T;
}

/**
 * The value of each step. With `steps`, only of those, in ascending order; what they refer to must be among them or
 * already in `values`.
 */
export function readTrace<T>(
  trace: Pick<Trace, 'steps'>,
  reading: Reading<T>,
  steps: Iterable<number> = trace.steps.keys(),
  values: T[] = [],
): T[] {
  for (const index of steps) {
    const step = trace.steps[index]!;
    if (step.type === 'input') values[index] = reading.input(step.operand);
    else if (step.type === 'table')
      values[index] = reading.table(
        step.table,
        values[step.x]!,
        step.y === undefined ? undefined : values[step.y],
      );
    else if (step.type === 'switch') {
      const ranges = step.ranges.map(({ of, low, high }) => ({ of: values[of]!, low, high }));
      values[index] = reading.choose(values[step.within]!, values[step.outside]!, ranges);
    } else
      values[index] = reading.formula(
        step.formula,
        step.operands.map((operand) => values[operand]!),
      );
  }
  return values;
}

/** The steps that a step refers to. */
export function operandsOf(step: Step): readonly number[] {
  if (step.type === 'formula') return step.operands;
  if (step.type === 'table') return step.y === undefined ? [step.x] : [step.x, step.y];
  return step.type === 'switch' ? [step.within, step.outside, ...step.ranges.map(({ of }) => of)] : [];
}

/**
 * The steps that a step depends on, including itself, in ascending order; `without` those only by way of another step.
 */
export function stepsTo({ steps }: Pick<Trace, 'steps'>, target: number, without?: number): number[] {
  const needed = new Set<number>();
  const add = (index: number) => {
    if (needed.has(index) || index === without) return;
    needed.add(index);
    const step = steps[index]!;
    operandsOf(step).forEach(add);
  };
  add(target);
  return [...needed].sort((a, b) => a - b);
}
