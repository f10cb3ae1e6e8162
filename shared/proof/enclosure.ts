import type { Interval } from '../arithmetic/interval.ts';
import type { GraphNode } from './graph.ts';
import { GraphValues } from './graph-values.ts';

/** Some nodes of a graph as functions of its variables, at points and over boxes. */
export class Enclosure {
  readonly #graph: GraphValues;
  readonly #roots: readonly number[];
  readonly #steps: readonly number[];

  /** Values may be shared with other functions of the same variables. */
  constructor(roots: readonly GraphNode[], graph = new GraphValues()) {
    this.#graph = graph;
    this.#roots = roots.map((root) => graph.add(root));
    this.#steps = graph.stepsTo(this.#roots);
  }

  /** The values of the roots at a point. */
  numbersAt(place: readonly number[]): number[] {
    this.#graph.evaluateAt(place, this.#steps);
    return this.#roots.map((root) => this.#graph.numbers[root]!);
  }

  /** Encloses the values of the roots over a box. */
  over(box: readonly Interval[]): Interval[] {
    this.#graph.evaluateOver(box, this.#steps);
    return this.#roots.map((root) => this.#graph.values[root]!);
  }

  /** The slopes of the first root over the box that was enclosed last, by variable; undefined where there is none. */
  slopes(count: number): (Interval | undefined)[] {
    return this.#graph.slopes.of(this.#roots[0]!, this.#steps, count);
  }
}
