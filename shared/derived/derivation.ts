import { sectionAt } from '../configuration/applied.ts';
import type { Installation } from '../configuration/installation.ts';
import { look, type Watched, watch } from '../configuration/parts.ts';
import { type Node, pathOf } from '../source/tree.ts';
import { type OperatingPoint, operatingPoints, type PointValue } from './operating-point.ts';
import { fileValues, pointValues, valuesPlacedIn } from './registry.ts';
import type { DerivedValue } from './value.ts';

/** A family of values of the whole file; each is placed where it says something. */
export interface FileValue {
  readonly id: string;
  readonly label: string;
  derive(derivation: Derivation): readonly DerivedValue[];
  /** Those that are placed at a node, where it would be wasteful to derive all for them. */
  ofNode?(derivation: Derivation, node: Node): readonly DerivedValue[];
}

/** Everything that follows from one installation. Values are derived when asked for, each once. */
export class Derivation {
  readonly #placed = new Map<FileValue, Map<Node, DerivedValue>>();
  readonly #made = new Map<unknown, Watched<unknown>>();

  constructor(readonly installation: Installation) {}

  get points(): readonly OperatingPoint[] {
    return this.once(pointsOf);
  }

  get(definition: FileValue): readonly DerivedValue[] {
    return this.#once(definition, () => definition.derive(this));
  }

  /** What a function makes of this derivation, made once: several values and checks look at the same cells. */
  once<Made>(make: (derivation: Derivation) => Made): Made {
    return this.#once(make, () => make(this));
  }

  #once<Made>(key: unknown, make: () => Made): Made {
    let known = this.#made.get(key) as Watched<Made> | undefined;
    if (!known) {
      known = watch(make);
      this.#made.set(key, known);
    }
    look(known.seen);
    return known.made;
  }

  /** The only value of a definition that gives one. */
  one(definition: FileValue): DerivedValue | undefined {
    return this.get(definition)[0];
  }

  /** The value of a definition that is placed at a node. */
  at(definition: FileValue, node: Node | undefined): DerivedValue | undefined {
    const values = this.get(definition);
    let placed = this.#placed.get(definition);
    if (!placed) {
      placed = new Map();
      for (const value of values) if (!placed.has(value.node)) placed.set(value.node, value);
      this.#placed.set(definition, placed);
    }
    return node && placed.get(node);
  }

  /** Every value of the file that is placed at a node. */
  allAt(node: Node): DerivedValue[] {
    return valuesPlacedIn(new Set([sectionAt(pathOf(node))])).flatMap(
      (definition) =>
        definition.ofNode?.(this, node) ?? this.get(definition).filter((value) => value.node === node),
    );
  }

  /** The operating point that is written at a node. */
  pointAt(node: Node): OperatingPoint | undefined {
    return sectionAt(pathOf(node)) === 'operating_points'
      ? this.points.find((one) => one.node === node)
      : undefined;
  }

  /** All values in reading order: those of the file, then point by point. */
  all(): DerivedValue[] {
    return [...fileValues.flatMap((definition) => this.get(definition)), ...this.points.flatMap(allOfPoint)];
  }

  point(name: string): OperatingPoint | undefined {
    return this.points.find((point) => point.name === name);
  }
}

const pointsOf = ({ installation }: Derivation) => operatingPoints(installation);

export function allOfPoint(point: OperatingPoint): DerivedValue[] {
  return pointValues
    .map((definition: PointValue) => point.get(definition))
    .filter((value) => value !== undefined);
}
