import type { WhichTable } from '../configuration/lookup.ts';
import type { Formula } from '../physics/formula.ts';
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
 * How values follow from numbers, as a list of steps in which each refers to earlier ones. A derivation is recorded once,
 * at one state, and can then be read for other numbers, for intervals, and for slopes. That holds because which formulas are
 * applied depends on what a file states, and not on how large a number is.
 */
export type Step =
  | { readonly type: 'input'; readonly operand: Operand }
  | { readonly type: 'table'; readonly which: WhichTable; readonly x: number; readonly y: number | undefined }
  | { readonly type: 'formula'; readonly formula: Formula; readonly operands: readonly number[] }
  | {
      readonly type: 'switch';
      readonly within: number;
      readonly outside: number;
      readonly ranges: readonly Range[];
    };

/** A step, and the range in which its value lets a switch be within. */
interface Range {
  readonly of: number;
  readonly low: number;
  readonly high: number;
}

/** A number from a table, with the operands that it was looked up by. */
interface Lookup extends Operand {
  readonly by: { readonly which: WhichTable; readonly x: Operand; readonly y: MaybeOperand };
}

/** An operating point whose table lookups can be traced to what they were looked up by. */
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

/** Records derivations; values that follow from the same numbers in the same way share a step. */
export class Trace {
  readonly steps: Step[] = [];
  readonly #known = new Map<object, number>();
  readonly #alike = new Map<string, number>();
  readonly #numbers = new Map<object, number>();

  /** The step that gives an operand. */
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

  /** The same for steps that give the same value. An assumed number says how it came about; a state has only its identity. */
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
      return { type: 'formula', formula, operands: names.map((name) => this.indexOf(operands[name]!)) };
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

/** One object for all ways in which the same number may be handed on. */
function sourceOf(operand: Operand | DerivedValue | Result): Operand | Applied {
  if ('id' in operand) return applicationOf(operand.result);
  return 'formula' in operand ? applicationOf(operand) : operand;
}

/** How the steps of a trace are read as values of some kind. */
export interface Reading<T> {
  input(operand: Operand, step: number): T;
  table(which: WhichTable, x: T, y: T | undefined): T;
  formula(formula: Formula, operands: readonly T[]): T;
  /** Chooses between the value within the ranges and that outside any of them. */
  choose(within: T, outside: T, ranges: readonly { of: T; low: number; high: number }[]): T;
}

/** The value of each step; with `steps`, of those alone, which must hold all that they refer to, in ascending order. */
export function readTrace<T>(
  trace: Pick<Trace, 'steps'>,
  reading: Reading<T>,
  steps: Iterable<number> = trace.steps.keys(),
): T[] {
  const values: T[] = [];
  for (const index of steps) {
    const step = trace.steps[index]!;
    if (step.type === 'input') values[index] = reading.input(step.operand, index);
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

function operandsOf(step: Step): readonly number[] {
  if (step.type === 'formula') return step.operands;
  if (step.type === 'table') return step.y === undefined ? [step.x] : [step.x, step.y];
  return step.type === 'switch' ? [step.within, step.outside, ...step.ranges.map(({ of }) => of)] : [];
}

/** The steps that a step follows from, and itself, in ascending order. */
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
