import type { OneOperand, TwoOperands } from '../arithmetic/expression.ts';
import {
  add,
  divide,
  ENTIRE,
  hull,
  type Interval,
  isEmpty,
  ln,
  multiply,
  negate,
  point,
  power,
  subtract,
} from '../arithmetic/interval.ts';
import type { TableRange } from '../derived/table-range.ts';
import type { GraphNode } from './graph.ts';

/** A graph whose values were enclosed over a box, as lists by node; the operands of a node precede it. */
export interface EvaluatedGraph {
  readonly nodes: readonly GraphNode[];
  readonly operands: readonly (readonly number[])[];
  readonly values: readonly Interval[];
  /** Whether a value depends on a variable whose range is more than a point. */
  readonly isFree: readonly boolean[];
  readonly tables: readonly TableRange[];
  /** The slopes of a formula that is not split, with respect to its operands. */
  readonly local: readonly (readonly (Interval | undefined)[])[];
}

const ZERO = point(0);
const ONE = point(1);
const TWO = point(2);
const RISING: Interval = { low: 0, high: Infinity };

/**
 * The slopes of a graph by backward differentiation. Source: Griewank and Walther, Evaluating Derivatives (2008),
 * chapter 3.
 *
 * The slope with respect to a positive value is kept relative to it, d/d ln x, and the slope of a positive result is
 * that of its logarithm. The relative slopes of the factors of a product are then those of the product, so the sign of
 * the slope of a long product is known even over a wide box, in which the product rule leaves it open.
 */
export class GraphSlopes {
  readonly #graph: EvaluatedGraph;
  readonly #slopes: (Interval | undefined)[] = [];

  constructor(
    graph: EvaluatedGraph,
    /** Keeps all slopes absolute. That is narrower for a short expression with differences. */
    readonly isAbsolute: boolean,
  ) {
    this.#graph = graph;
  }

  /**
   * The slopes of a node along each variable; undefined where there is none. `steps` are the nodes that it depends on,
   * in ascending order.
   */
  of(root: number, steps: readonly number[], count: number): (Interval | undefined)[] {
    const { nodes, values, isFree } = this.#graph;
    const slopes = this.#slopes;
    for (const i of steps) slopes[i] = undefined;
    slopes[root] = ONE;
    const found: (Interval | undefined)[] = Array.from({ length: count }, () => undefined);
    const value = values[root]!;
    if (isEmpty(value)) return found;
    for (let j = steps.length - 1; j >= 0; j--) {
      const i = steps[j]!;
      const slope = slopes[i];
      if (!slope || !isFree[i]) continue;
      const node = nodes[i]!;
      if (node.type === 'variable') {
        const own = this.#absolute(i, slope);
        found[node.index] = this.#isRelative(root) ? multiply(own, value) : own;
      } else this.#passOn(i, node, slope);
    }
    return found;
  }

  /** Whether the slope with respect to a value is relative to it. */
  #isRelative(node: number): boolean {
    const { low, high } = this.#graph.values[node]!;
    return !this.isAbsolute && low > 0 && high < Infinity;
  }

  #absolute(node: number, slope: Interval): Interval {
    return this.#isRelative(node) ? divide(slope, this.#graph.values[node]!) : slope;
  }

  #relative(node: number, slope: Interval): Interval {
    return this.#isRelative(node) ? slope : multiply(slope, this.#graph.values[node]!);
  }

  /** Passes the slope with respect to a value on to its operands. */
  #passOn(i: number, node: GraphNode, slope: Interval): void {
    const operands = this.#graph.operands[i]!;
    const [a, b] = operands as [number, number];
    if (node.type === 'operation') this.#passThrough(i, node.operation, slope);
    else if (node.type === 'table') {
      const { alongX, alongY } = this.#graph.tables[i]!;
      const own = this.#absolute(i, slope);
      this.#give(a, multiply(own, alongX));
      if (b !== undefined) this.#give(b, multiply(own, alongY));
    } else if (node.type === 'formula') {
      const own = this.#absolute(i, slope);
      operands.forEach((operand, j) => {
        const local = this.#graph.local[i]![j];
        if (local) this.#give(operand, multiply(own, local));
      });
    } else if (node.type === 'switch') {
      const choice = choiceOf(this.#graph, i);
      // The value may jump where a range ends.
      if (choice === undefined) for (const of of operands.slice(2)) this.#give(of, ENTIRE);
      this.#choose(i, a, b, choice, slope);
    }
  }

  #passThrough(i: number, operation: OneOperand | TwoOperands, slope: Interval): void {
    const { values } = this.#graph;
    const [a, b] = this.#graph.operands[i]! as [number, number];
    const [x, y] = [values[a]!, values[b]!];
    if (operation === 'multiply') {
      this.#giveFactor(i, a, slope, ONE, (own) => multiply(own, y));
      this.#giveFactor(i, b, slope, ONE, (own) => multiply(own, x));
    } else if (operation === 'divide') {
      this.#giveFactor(i, a, slope, ONE, (own) => divide(own, y));
      this.#giveFactor(i, b, slope, MINUS, (own) => negate(divide(multiply(own, values[i]!), y)));
    } else if (operation === 'root')
      this.#giveFactor(i, a, slope, HALF, (own) => divide(own, multiply(TWO, values[i]!)));
    else if (operation === 'power') {
      const fall = () => multiply(y, power(x, subtract(y, ONE)));
      this.#giveFactor(i, a, slope, y, (own) => multiply(own, fall()));
      if (this.#graph.isFree[b]) this.#give(b, multiply(this.#relative(i, slope), ln(x)));
    } else if (operation === 'add' || operation === 'subtract') {
      this.#giveSum(i, a, b, slope, operation === 'add');
    } else if (operation === 'minimum' || operation === 'maximum') {
      const isLess = x.high <= y.low ? true : y.high <= x.low ? false : undefined;
      const choice = isLess === undefined ? undefined : isLess === (operation === 'minimum') ? a : b;
      this.#choose(i, a, b, choice, slope);
    } else if (operation === 'exp') this.#give(a, this.#relative(i, slope));
    else if (operation === 'ln' && this.#isRelative(a)) this.#add(a, this.#absolute(i, slope));
    else {
      const own = this.#absolute(i, slope);
      if (operation === 'ln') this.#give(a, divide(own, x));
      else if (operation === 'negate' || (operation === 'absolute' && x.high <= 0))
        this.#give(a, negate(own));
      else if (operation === 'floor') this.#give(a, multiply(own, RISING));
      else this.#give(a, x.low >= 0 ? own : hull(own, negate(own)));
    }
  }

  /** To a factor of a product: its power times the relative slope or, if it is not positive, the product rule. */
  #giveFactor(
    i: number,
    factor: number,
    slope: Interval,
    exponent: Interval,
    rule: (own: Interval) => Interval,
  ) {
    if (!this.#graph.isFree[factor]) return;
    if (!this.#isRelative(factor)) this.#give(factor, rule(this.#absolute(i, slope)));
    else if (exponent === ONE) this.#add(factor, this.#relative(i, slope));
    else this.#add(factor, multiply(this.#relative(i, slope), exponent));
  }

  /**
   * To the terms of a sum or difference. Relative to positive ones, by their shares in it: a / (a ± b) = 1 / (1 ± b /
   * a).
   */
  #giveSum(i: number, a: number, b: number, slope: Interval, isSum: boolean): void {
    const { values } = this.#graph;
    if ([i, a, b].every((node) => this.#isRelative(node))) {
      const combined = isSum ? add : subtract;
      const shareIn = (term: number, other: number) =>
        divide(ONE, combined(ONE, divide(values[other]!, values[term]!)));
      if (this.#graph.isFree[a]) this.#add(a, multiply(slope, shareIn(a, b)));
      if (this.#graph.isFree[b]) this.#add(b, multiply(slope, shareIn(b, a)));
      return;
    }
    const own = this.#absolute(i, slope);
    this.#give(a, own);
    this.#give(b, isSum ? own : negate(own));
  }

  /** To the operand that a value equals; to both in part, if it is unknown which. */
  #choose(i: number, a: number, b: number, choice: number | undefined, slope: Interval): void {
    const part = choice === undefined ? hull(ZERO, slope) : slope;
    for (const operand of choice === undefined ? [a, b] : [choice]) {
      if (!this.#graph.isFree[operand]) continue;
      if (this.#isRelative(operand) === this.#isRelative(i)) this.#add(operand, part);
      else this.#give(operand, this.#absolute(i, part));
    }
  }

  /** Adds to the slope with respect to a value. */
  #give(node: number, slope: Interval): void {
    if (this.#graph.isFree[node]) this.#add(node, this.#relativeTo(node, slope));
  }

  #relativeTo(node: number, slope: Interval): Interval {
    return this.#isRelative(node) ? multiply(slope, this.#graph.values[node]!) : slope;
  }

  /** Adds to a slope that is already relative, if the value is positive. */
  #add(node: number, slope: Interval): void {
    const known = this.#slopes[node];
    this.#slopes[node] = known ? add(known, slope) : slope;
  }
}

const MINUS = point(-1);
const HALF = point(0.5);

/** The operand that a switch selects everywhere in the box; undefined if that differs. */
export function choiceOf({ nodes, operands, values }: EvaluatedGraph, i: number): number | undefined {
  const { ranges } = nodes[i] as Extract<GraphNode, { type: 'switch' }>;
  const [within, outside, ...of] = operands[i]!;
  const found = of.map((operand) => values[operand]!);
  if (found.some(({ low, high }, j) => high < ranges[j]!.low || low > ranges[j]!.high)) return outside;
  return found.every(({ low, high }, j) => ranges[j]!.low <= low && high <= ranges[j]!.high)
    ? within
    : undefined;
}
