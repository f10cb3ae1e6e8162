import { intervalArithmetic, numbers } from '../arithmetic/expression.ts';
import { hull, type Interval, isPoint, point } from '../arithmetic/interval.ts';
import { lookUp } from '../configuration/lookup.ts';
import { type TableRange, tableRange } from '../derived/table-range.ts';
import { chosen } from '../derived/value.ts';
import type { GraphNode } from './graph.ts';
import { choiceOf, GraphSlopes } from './graph-slopes.ts';

const ZERO = point(0);

type Function2<T> = (a: T, b: T) => T;

/**
 * The values of a graph. Only those that depend on a changed variable are computed again. Many values of one graph are
 * read, one after the other and for similar boxes, so most of it is rarely recomputed.
 */
export class GraphValues {
  readonly nodes: GraphNode[] = [];
  /** The operands of each node, which precede it. */
  readonly operands: (readonly number[])[] = [];
  /** Enclosures over the box of the last evaluation. */
  readonly values: Interval[] = [];
  /** Whether a value depends on a variable whose range is more than a point. */
  readonly isFree: boolean[] = [];
  readonly tables: TableRange[] = [];
  /** The slopes of a formula that is not split, with respect to its operands. */
  readonly local: (readonly (Interval | undefined)[])[] = [];
  readonly slopes: GraphSlopes;
  readonly numbers: number[] = [];
  readonly #indices = new Map<GraphNode, number>();
  readonly #onIntervals: Function2<Interval>[] = [];
  readonly #onNumbers: Function2<number>[] = [];
  /** The bodies of the formulas that are graphs of their own, by node. */
  readonly #bodies: FormulaBody[] = [];
  /** When a value was last computed. */
  readonly #valueTimes: number[] = [];
  readonly #numberTimes: number[] = [];
  #time = 0;

  constructor(isFormula = false) {
    this.slopes = new GraphSlopes(this, isFormula);
  }

  /** The index of a node. */
  add(node: GraphNode): number {
    const known = this.#indices.get(node);
    if (known !== undefined) return known;
    const operands = 'operands' in node ? node.operands.map((operand) => this.add(operand)) : [];
    const index = this.nodes.push(node) - 1;
    this.operands.push(operands);
    this.isFree.push(false);
    const time = node.type === 'constant' ? 0 : -1;
    this.#valueTimes.push(time);
    this.#numberTimes.push(time);
    this.#indices.set(node, index);
    if (node.type === 'constant') [this.values[index], this.numbers[index]] = [node.value, node.number];
    else if (node.type === 'formula') this.#bodies[index] = new FormulaBody(node.body);
    else if (node.type === 'operation') {
      this.#onIntervals[index] = intervalArithmetic[node.operation] as Function2<Interval>;
      this.#onNumbers[index] = numbers[node.operation] as Function2<number>;
    }
    return index;
  }

  /** The nodes that some nodes depend on, themselves included, in the order of evaluation. Constants are left out. */
  stepsTo(roots: readonly number[]): readonly number[] {
    const needed = new Set<number>();
    const visit = (index: number) => {
      if (needed.has(index) || this.nodes[index]!.type === 'constant') return;
      needed.add(index);
      this.operands[index]!.forEach(visit);
    };
    roots.forEach(visit);
    return [...needed].sort((a, b) => a - b);
  }

  /** Computes the numbers of some nodes at a point. */
  evaluateAt(place: readonly number[], steps: readonly number[]): void {
    const { numbers, nodes } = this;
    const times = this.#numberTimes;
    for (const i of steps) {
      const operands = this.operands[i]!;
      const node = nodes[i]!;
      if (node.type === 'variable') {
        if (numbers[i] === place[node.index]) continue;
        numbers[i] = place[node.index]!;
        times[i] = ++this.#time;
        continue;
      }
      if (!isOutdated(i, operands, times)) continue;
      const [a, b] = operands as [number, number];
      if (node.type === 'operation') numbers[i] = this.#onNumbers[i]!(numbers[a]!, numbers[b]!);
      else if (node.type === 'table') numbers[i] = lookUp(node.table, numbers[a]!, numbers[b])!;
      else if (node.type === 'formula')
        numbers[i] = this.#bodies[i]!.at(operands.map((operand) => numbers[operand]!));
      else if (node.type === 'switch') {
        const ranges = node.ranges.map((range, j) => ({ ...range, of: numbers[operands[j + 2]!]! }));
        numbers[i] = chosen(numbers[a]!, numbers[b]!, ranges);
      }
      times[i] = ++this.#time;
    }
  }

  /** Encloses the values of some nodes over a box. */
  evaluateOver(box: readonly Interval[], steps: readonly number[]): void {
    const { values, isFree, nodes } = this;
    const times = this.#valueTimes;
    for (const i of steps) {
      const operands = this.operands[i]!;
      const node = nodes[i]!;
      if (node.type === 'variable') {
        const [known, range] = [values[i], box[node.index]!];
        if (known && known.low === range.low && known.high === range.high) continue;
        values[i] = range;
        isFree[i] = !isPoint(range);
        times[i] = ++this.#time;
        continue;
      }
      if (!isOutdated(i, operands, times)) continue;
      const [a, b] = operands as [number, number];
      isFree[i] = operands.some((operand) => isFree[operand]);
      if (node.type === 'operation') values[i] = this.#onIntervals[i]!(values[a]!, values[b]!);
      else if (node.type === 'table') {
        this.tables[i] = tableRange(node.table, values[a]!, values[b])!;
        values[i] = this.tables[i]!.value;
      } else if (node.type === 'formula') {
        const { value, slopes } = this.#bodies[i]!.over(operands.map((operand) => values[operand]!));
        [values[i], this.local[i]] = [value, slopes];
      } else if (node.type === 'switch') {
        const choice = choiceOf(this, i);
        values[i] = choice === undefined ? hull(values[a]!, values[b]!) : values[choice]!;
      }
      times[i] = ++this.#time;
    }
  }
}

/** Whether a value was computed before one of its operands was. */
function isOutdated(i: number, operands: readonly number[], times: readonly number[]): boolean {
  const time = times[i]!;
  for (let j = 0; j < operands.length; j++) if (times[operands[j]!]! > time) return true;
  return time < 0;
}

/** A formula with an operand that occurs twice, as a function of its operands. */
class FormulaBody {
  readonly #values = new GraphValues(true);
  readonly #root: number;
  readonly #steps: readonly number[];

  constructor(body: GraphNode) {
    this.#root = this.#values.add(body);
    this.#steps = this.#values.stepsTo([this.#root]);
  }

  at(operands: readonly number[]): number {
    this.#values.evaluateAt(operands, this.#steps);
    return this.#values.numbers[this.#root]!;
  }

  /**
   * The range over a box, with slopes. For each operand with which it rises or falls throughout the box, only the ends
   * count, so an operand that occurs twice does not widen the range.
   */
  over(box: readonly Interval[]): { readonly value: Interval; readonly slopes: (Interval | undefined)[] } {
    const value = this.#rangeOver(box);
    const slopes = this.#values.slopes.of(this.#root, this.#steps, box.length);
    const end = (side: 'low' | 'high') => {
      const ends = box.map((range, i) => {
        const slope = slopes[i] ?? ZERO;
        if (slope.low >= 0) return point(range[side]);
        return slope.high <= 0 ? point(range[side === 'low' ? 'high' : 'low']) : range;
      });
      return this.#rangeOver(ends)[side];
    };
    const narrowed = { low: Math.max(value.low, end('low')), high: Math.min(value.high, end('high')) };
    return { value: narrowed, slopes };
  }

  #rangeOver(box: readonly Interval[]): Interval {
    this.#values.evaluateOver(box, this.#steps);
    return this.#values.values[this.#root]!;
  }
}
