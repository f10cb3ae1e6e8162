import { sectionAt } from '../configuration/applied.ts';
import type { Installation } from '../configuration/installation.ts';
import { memo, verify } from '../memo.ts';
import { type Node, pathOf } from '../source/tree.ts';
import { type OperatingPoint, operatingPoints, type StatedPoints } from './operating-point.ts';
import { type DerivedValue, placedValue } from './value.ts';

/** A family of values of the whole file, each with its place in it. */
export interface FileValue {
  readonly id: string;
  readonly label: string;
  derive(derivation: Derivation): readonly DerivedValue[];
  /** Those placed at a node, if deriving all of them for that would be wasteful. */
  ofNode?(derivation: Derivation, node: Node): readonly DerivedValue[];
}

/** Computes something from a derivation; its result for the previous version may save work and must not change the result. */
type Maker<Made> = (derivation: Derivation, before: Made | undefined) => Made;

/** Everything that follows from one installation. Values are derived on demand, once each. */
export class Derivation {
  /** The latest results, of this version or an earlier one. */
  readonly #latest: Map<unknown, unknown>;

  constructor(
    readonly installation: Installation,
    before?: Derivation,
  ) {
    this.#latest = new Map(before ? before.#latest : []);
  }

  get points(): readonly OperatingPoint[] {
    return pointsOf(this.once(statedPoints));
  }

  get(definition: FileValue): readonly DerivedValue[] {
    return valuesOf(this, definition);
  }

  /** The result of a function for this derivation, computed once: several values and checks use the same cells. */
  once<Made>(make: Maker<Made>): Made {
    return made(this, make as Maker<unknown>) as Made;
  }

  /** Computes something with the result of the previous version at hand, and keeps it for the next. */
  makeAfter<Made>(make: Maker<Made>): Made {
    const result = make(this, this.#latest.get(make) as Made | undefined);
    verify(result, () => make(this, undefined), make.name);
    this.#latest.set(make, result);
    return result;
  }

  /** The value of a definition that has at most one. */
  one(definition: FileValue): DerivedValue | undefined {
    return this.get(definition)[0];
  }

  /** The value of a definition that is placed at a node. */
  at(definition: FileValue, node: Node | undefined): DerivedValue | undefined {
    return node && placed(this.get(definition)).get(node);
  }

  /** The operating point at a node. */
  pointAt(node: Node): OperatingPoint | undefined {
    return sectionAt(pathOf(node)) === 'operating_points'
      ? this.points.find((one) => one.node === node)
      : undefined;
  }

  point(name: string): OperatingPoint | undefined {
    return this.once(statedPoints).get(name)?.point;
  }
}

const made = memo((derivation: Derivation, make: Maker<unknown>) => derivation.makeAfter(make));

const valuesOf = memo((derivation: Derivation, definition: FileValue): readonly DerivedValue[] =>
  definition.derive(derivation).map((value) => placedValue(derivation.installation.configuration, value)),
);

const statedPoints = ({ installation }: Derivation, before: StatedPoints | undefined): StatedPoints =>
  operatingPoints(installation, before);

const pointsOf = memo((stated: StatedPoints): readonly OperatingPoint[] =>
  [...stated.values()].map(({ point }) => point),
);

/** The first of several values at one place. */
const placed = memo(
  (values: readonly DerivedValue[]): ReadonlyMap<Node, DerivedValue> =>
    new Map([...values].reverse().map((value) => [value.node, value])),
);
