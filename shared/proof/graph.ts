import {
  type Arithmetic,
  intervalArithmetic,
  numbers,
  type Operation,
  recorder,
  SYMBOL,
} from '../arithmetic/expression.ts';
import { type Interval, point } from '../arithmetic/interval.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { tableRange } from '../derived/table-range.ts';
import { halfWidths } from '../derived/table-tolerance.ts';
import { type Reading, readTrace, type Trace } from '../derived/trace.ts';
import { memo } from '../memo.ts';
import type { Formula } from '../physics/formula.ts';
import type { Varying } from './varying.ts';

/**
 * A value as a graph of elementary operations on variables. Whatever does not depend on a variable is one constant.
 */
export type GraphNode =
  | { readonly type: 'constant'; readonly value: Interval; readonly number: number }
  | { readonly type: 'variable'; readonly index: number }
  | {
      readonly type: 'operation';
      readonly operation: Operation;
      readonly operands: readonly GraphNode[];
    }
  | { readonly type: 'table'; readonly table: TableValue; readonly operands: readonly GraphNode[] }
  | {
      readonly type: 'switch';
      /** The value within all ranges, the one outside, and then the values that the ranges apply to. */
      readonly operands: readonly GraphNode[];
      readonly ranges: readonly { readonly low: number; readonly high: number }[];
    }
  /** A formula in which an operand occurs twice: a graph of its own, whose variables are the operands. */
  | { readonly type: 'formula'; readonly body: GraphNode; readonly operands: readonly GraphNode[] };

type Constant = Extract<GraphNode, { type: 'constant' }>;

const isConstant = (node: GraphNode): node is Constant => node.type === 'constant';

function operation(name: Operation, operands: readonly GraphNode[]): GraphNode {
  if (!operands.every(isConstant)) return { type: 'operation', operation: name, operands };
  const [a, b] = operands as readonly Constant[];
  return {
    type: 'constant',
    value: applied(intervalArithmetic, name, a!.value, b?.value),
    number: applied(numbers, name, a!.number, b?.number),
  };
}

/** `b` is ignored by operations on one operand. */
const applied = <T>(arithmetic: Arithmetic<T>, name: Operation, a: T, b: T | undefined): T =>
  (arithmetic[name] as (a: T, b: T | undefined) => T)(a, b);

/** An arithmetic that records operations. */
export const recording: Arithmetic<GraphNode> = recorder(
  (decimal) => ({ type: 'constant', value: intervalArithmetic.constant(decimal), number: decimal }),
  operation,
);

/** For each term of a formula, whether it occurs more than once in the expression. */
const repeatedTerms = memo((formula: Formula): readonly boolean[] => {
  const occurring: readonly string[] = formula.expression.match(SYMBOL) ?? [];
  return Object.values(formula.terms).map(
    ({ symbol }) => occurring.indexOf(symbol) !== occurring.lastIndexOf(symbol),
  );
});

const bodyOf = memo((formula: Formula) =>
  formula.in(recording)(formula.names.map((_, index) => ({ type: 'variable', index }))),
);

/**
 * The graph of each step of a trace: those of the first steps may be given, so that a trace that has grown is not
 * recorded again.
 */
export function graphOf(
  trace: Pick<Trace, 'steps'>,
  variables: ReadonlyMap<Varying, number>,
  known: GraphNode[] = [],
): GraphNode[] {
  const added = [...trace.steps.keys()].slice(known.length);
  const reading: Reading<GraphNode> = {
    input(operand) {
      const index = variables.get(operand);
      return index === undefined ? constant(operand.canonical) : { type: 'variable', index };
    },
    table(table, x, y) {
      const operands = y ? [x, y] : [x];
      const found = tableGraph(table, operands);
      const index = variables.get(table);
      if (index === undefined) return found;
      const shift: GraphNode = { type: 'variable', index };
      return recording.add(found, recording.multiply(shift, tableGraph(halfWidths(table), operands)));
    },
    formula(formula, operands) {
      const repeated = repeatedTerms(formula);
      return operands.some((operand, i) => repeated[i] && !isConstant(operand))
        ? { type: 'formula', body: bodyOf(formula), operands }
        : formula.in(recording)(operands);
    },
    choose(within, outside, ranges) {
      return { type: 'switch', operands: [within, outside, ...ranges.map(({ of }) => of)], ranges };
    },
  };
  return readTrace(trace, reading, added, known);
}

function tableGraph(table: TableValue, operands: readonly GraphNode[]): GraphNode {
  if (!operands.every(isConstant)) return { type: 'table', table, operands };
  const [along, down] = operands as readonly Constant[];
  return {
    type: 'constant',
    value: tableRange(table, along!.value, down?.value)!.value,
    number: lookUp(table, along!.number, down?.number)!,
  };
}

const constant = (canonical: number): Constant => ({
  type: 'constant',
  value: point(canonical),
  number: canonical,
});
