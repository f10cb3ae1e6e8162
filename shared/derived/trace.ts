import type { WhichTable } from '../configuration/lookup.ts';
import { type ReadableFormula, readable } from './formula-reading.ts';
import { OperatingPoint } from './operating-point.ts';
import {
  type Applied,
  applicationOf,
  type DerivedValue,
  type MaybeOperand,
  type Operand,
  type Result,
} from './value.ts';

/**
 * Records how values are derived from numbers, as a list of steps that refer to earlier ones. A derivation is recorded
 * once, in one state, and can then be evaluated for other numbers, for intervals, and for slopes. This is valid because
 * which formulas apply depends on what a file states, not on the size of a number.
 */
export type Step =
  | { readonly type: 'input'; readonly operand: Operand }
  | { readonly type: 'table'; readonly which: WhichTable; readonly x: number; readonly y: number | undefined }
  | { readonly type: 'formula'; readonly formula: ReadableFormula; readonly operands: readonly number[] }
  | {
      readonly type: 'switch';
      readonly within: number;
      readonly outside: number;
      readonly ranges: readonly Range[];
    };

/** A step, and the range of its value in which a switch is within. */
interface Range {
  readonly of: number;
  readonly low: number;
  readonly high: number;
}

/** A number from a table, with the operands of the lookup. */
interface Lookup extends Operand {
  readonly by: { readonly which: WhichTable; readonly x: Operand; readonly y: MaybeOperand };
}

/** An operating point that records the operands of its table lookups. */
export class TracedPoint extends OperatingPoint {
  override lookUp(which: WhichTable, x: MaybeOperand, y?: MaybeOperand): Operand | undefined {
    const found = super.lookUp(which, x, y);
    const table = which(this.configuration);
    if (!found || !x) return undefined;
    const lookup: Lookup = { canonical: found.canonical, table: which, by: { which, x, y: table?.y && y } };
    return lookup;
  }

  override inState(conditions: OperatingPoint['conditions']): TracedPoint {
    return new TracedPoint(this.name, this.engine, conditions, this.node);
  }
}

/** Records derivations; values derived from the same numbers in the same way share a step. */
export class Trace {
  readonly steps: Step[] = [];
  readonly #known = new Map<object, number>();
  readonly #alike = new Map<string, number>();
  readonly #numbers = new Map<object, number>();

  /** The index of the step that yields an operand. */
  indexOf(operand: Operand | DerivedValue | Result): number {
    const source = sourceOf(operand);
    const known = this.#known.get(source);
    if (known !== undefined) return known;
    const step = this.#step(source);
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
    if (step.type === 'table') return `table ${this.#numberOf(step.which)} ${step.x} ${step.y}`;
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

  #step(source: Operand | Applied): Step {
    if ('formula' in source) {
      const { formula, operands } = source;
      const names = Object.keys(formula.terms);
      return {
        type: 'formula',
        formula: readable(formula),
        operands: names.map((name) => this.indexOf(operands[name]!)),
      };
    }
    if (source.switched) {
      const { within, outside, ranges } = source.switched;
      return {
        type: 'switch',
        within: this.indexOf(within),
        outside: this.indexOf(outside),
        ranges: ranges.map(({ of, low, high }) => ({ of: this.indexOf(of), low, high })),
      };
    }
    if (!('by' in source)) return { type: 'input', operand: source };
    const { which, x, y } = (source as Lookup).by;
    return { type: 'table', which, x: this.indexOf(x), y: y && this.indexOf(y) };
  }
}

/** The same object for an operand, however it is passed on. */
function sourceOf(operand: Operand | DerivedValue | Result): Operand | Applied {
  if ('id' in operand) return applicationOf(operand.result);
  return 'formula' in operand ? applicationOf(operand) : operand;
}

/** Evaluates the steps of a trace as values of some type. */
export interface Reading<T> {
  input(operand: Operand): T;
  table(which: WhichTable, x: T, y: T | undefined): T;
  formula(formula: ReadableFormula, operands: readonly T[]): T;
  /** Selects the value within all ranges or the one outside. */
  choose(within: T, outside: T, ranges: readonly { of: T; low: number; high: number }[]): T;
}

/**
 * The value of each step. With `steps`, only of those, which must include all that they refer to, in ascending order.
 */
export function readTrace<T>(
  trace: Pick<Trace, 'steps'>,
  reading: Reading<T>,
  steps: Iterable<number> = trace.steps.keys(),
): T[] {
  const values: T[] = [];
  for (const index of steps) {
    const step = trace.steps[index]!;
    if (step.type === 'input') values[index] = reading.input(step.operand);
    else if (step.type === 'table')
      values[index] = reading.table(
        step.which,
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

/** The steps that a step depends on, including itself, in ascending order. */
export function stepsTo({ steps }: Pick<Trace, 'steps'>, target: number): number[] {
  const needed = new Set<number>();
  const add = (index: number) => {
    if (needed.has(index)) return;
    needed.add(index);
    const step = steps[index]!;
    operandsOf(step).forEach(add);
  };
  add(target);
  return [...needed].sort((a, b) => a - b);
}
