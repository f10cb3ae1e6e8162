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
  | { readonly type: 'formula'; readonly formula: Formula; readonly operands: readonly number[] };

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

/** Records derivations; values that share a step share it in the list, too. */
export class Trace {
  readonly steps: Step[] = [];
  readonly #known = new Map<object, number>();

  /** The step that gives an operand. */
  indexOf(operand: Operand | DerivedValue | Result): number {
    const source = sourceOf(operand);
    const known = this.#known.get(source);
    if (known !== undefined) return known;
    const step = this.#step(source);
    this.steps.push(step);
    this.#known.set(source, this.steps.length - 1);
    return this.steps.length - 1;
  }

  #step(source: Operand | Applied): Step {
    if ('formula' in source) {
      const { formula, operands } = source;
      const names = Object.keys(formula.terms);
      return { type: 'formula', formula, operands: names.map((name) => this.indexOf(operands[name]!)) };
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
    else
      values[index] = reading.formula(
        step.formula,
        step.operands.map((operand) => values[operand]!),
      );
  }
  return values;
}

/** The steps that a step follows from, and itself, in ascending order. */
export function stepsTo({ steps }: Pick<Trace, 'steps'>, target: number): number[] {
  const needed = new Set<number>();
  const add = (index: number) => {
    if (needed.has(index)) return;
    needed.add(index);
    const step = steps[index]!;
    if (step.type === 'formula') step.operands.forEach(add);
    if (step.type === 'table') for (const one of [step.x, step.y]) if (one !== undefined) add(one);
  };
  add(target);
  return [...needed].sort((a, b) => a - b);
}
