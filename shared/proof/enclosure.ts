import { numbers } from '../arithmetic/expression.ts';
import { hull, type Interval, isPoint, point } from '../arithmetic/interval.ts';
import { intervalArithmetic } from '../arithmetic/slopes.ts';
import { lookUp } from '../configuration/lookup.ts';
import { type TableRange, tableRange } from '../derived/table-range.ts';
import { chosen } from '../derived/value.ts';
import { apply, type GraphNode } from './graph.ts';
import { choiceOf, GraphSlopes } from './graph-slopes.ts';

const ZERO = point(0);

/** Evaluates a graph at points and over boxes of its variables, with slopes. */
export class Enclosure {
  readonly #indices = new Map<GraphNode, number>();
  readonly #roots: readonly number[];
  readonly #numbers: number[] = [];
  readonly #evaluated = {
    nodes: [] as GraphNode[],
    operands: [] as (readonly number[])[],
    values: [] as Interval[],
    isFree: [] as boolean[],
    tables: [] as TableRange[],
    local: [] as (readonly (Interval | undefined)[])[],
  };
  /** Of the formulas that are graphs of their own, by node. */
  readonly #bodies: Enclosure[] = [];
  readonly #slopes: GraphSlopes;

  constructor(roots: readonly GraphNode[], { isFormula = false } = {}) {
    this.#slopes = new GraphSlopes(this.#evaluated, isFormula);
    this.#roots = roots.map((root) => this.#add(root));
  }

  #add(node: GraphNode): number {
    const known = this.#indices.get(node);
    if (known !== undefined) return known;
    const operands = 'operands' in node ? node.operands.map((operand) => this.#add(operand)) : [];
    const { nodes, values, isFree, ...of } = this.#evaluated;
    const index = nodes.push(node) - 1;
    of.operands.push(operands);
    isFree.push(false);
    this.#indices.set(node, index);
    if (node.type === 'formula') this.#bodies[index] = new Enclosure([node.body], { isFormula: true });
    if (node.type === 'constant') [values[index], this.#numbers[index]] = [node.value, node.number];
    return index;
  }

  /** The values of the roots at a point. */
  numbersAt(place: readonly number[]): number[] {
    const values = this.#numbers;
    const { nodes, operands } = this.#evaluated;
    for (let i = 0; i < nodes.length; i++) {
      const node = nodes[i]!;
      const [a, b] = operands[i]! as [number, number];
      if (node.type === 'operation') values[i] = apply(numbers, node.operation, values[a]!, values[b]!);
      else if (node.type === 'variable') values[i] = place[node.index]!;
      else if (node.type === 'table') values[i] = lookUp(node.table, values[a]!, values[b])!;
      else if (node.type === 'formula') values[i] = this.#bodies[i]!.numbersAt(this.#of(values, i))[0]!;
      else if (node.type === 'switch') {
        const [within, outside, ...of] = this.#of(values, i);
        const ranges = node.ranges.map((range, j) => ({ ...range, of: of[j]! }));
        values[i] = chosen(within!, outside!, ranges);
      }
    }
    return this.#of(values, undefined);
  }

  /** Encloses the values of the roots over a box. */
  over(box: readonly Interval[]): Interval[] {
    const { nodes, values, isFree, tables, local, ...of } = this.#evaluated;
    for (let i = 0; i < nodes.length; i++) {
      const node = nodes[i]!;
      if (node.type === 'constant') continue;
      if (node.type === 'variable') {
        values[i] = box[node.index]!;
        isFree[i] = !isPoint(values[i]!);
        continue;
      }
      const operands = of.operands[i]!;
      const [a, b] = operands as [number, number];
      isFree[i] = isFree[a]! || (b !== undefined && isFree[b]!) || operands.some((j) => isFree[j]);
      if (node.type === 'operation')
        values[i] = apply(intervalArithmetic, node.operation, values[a]!, values[b]!);
      else if (node.type === 'table') {
        tables[i] = tableRange(node.table, values[a]!, values[b])!;
        values[i] = tables[i]!.value;
      } else if (node.type === 'formula') {
        const bounded = this.#bodies[i]!.between(this.#of(values, i));
        values[i] = bounded.value;
        local[i] = bounded.slopes;
      } else values[i] = this.#switched(i, values[a]!, values[b]!);
    }
    return this.#of(values, undefined);
  }

  /** The slopes of the first root over the box that was enclosed last, by variable; undefined where there is none. */
  slopes(count: number): (Interval | undefined)[] {
    return this.#slopes.of(this.#roots[0]!, count);
  }

  /**
   * The first root over a box, with slopes. For each variable along which it rises or falls throughout the box, only the
   * ends count, so a variable that occurs twice does not widen the result.
   */
  between(box: readonly Interval[]): { readonly value: Interval; readonly slopes: (Interval | undefined)[] } {
    const [value] = this.over(box) as [Interval];
    const slopes = this.slopes(box.length);
    const end = (side: 'low' | 'high') => {
      const ends = box.map((range, i) => {
        const slope = slopes[i] ?? ZERO;
        if (slope.low >= 0) return point(range[side]);
        return slope.high <= 0 ? point(range[side === 'low' ? 'high' : 'low']) : range;
      });
      return this.over(ends)[0]![side];
    };
    return {
      value: { low: Math.max(value.low, end('low')), high: Math.min(value.high, end('high')) },
      slopes,
    };
  }

  #of<T>(values: readonly T[], node: number | undefined): T[] {
    return (node === undefined ? this.#roots : this.#evaluated.operands[node]!).map((i) => values[i]!);
  }

  #switched(i: number, within: Interval, outside: Interval): Interval {
    const choice = choiceOf(this.#evaluated, i);
    return choice === undefined ? hull(within, outside) : this.#evaluated.values[choice]!;
  }
}
