import { isLeaf } from '../configuration/bind.ts';
import { engineShape } from '../configuration/schemas.ts';
import { childShape, type Shape } from '../configuration/shape.ts';
import { type Kind, measuredQuantity } from '../quantity/index.ts';
import type { PartName } from './layout.ts';

/** The place that a key path of an engine file leads to. */
export interface PathEnd {
  /** The number of steps of the path that the schema knows. */
  readonly known: number;
  /** The shape of the place that these steps lead to. */
  readonly shape: Shape;
  /** Whether it is a value, with nothing below it, or a section. */
  readonly isValue: boolean;
}

export function followPath(steps: readonly string[]): PathEnd {
  let shape = engineShape;
  let known = 0;
  for (const step of steps) {
    const below = isValue(shape) ? undefined : childShape(shape, step);
    if (!below) break;
    shape = below;
    known++;
  }
  return { known, shape, isValue: isValue(shape) };
}

const isValue = (shape: Shape): boolean => isLeaf(shape) || shape.items !== undefined;

/** The shape of the value at a key path; undefined if the path does not lead to a value. */
export function valueShapeAt(path: string): Shape | undefined {
  const steps = path.split('.');
  const end = followPath(steps);
  return end.isValue && end.known === steps.length ? end.shape : undefined;
}

/** The kinds of number that a part of such a value may contain; none if it contains text. */
export function kindsOf(
  { quantity, range, table, relation, items, primitive }: Shape,
  part: PartName,
): Kind[] {
  if (part !== 'values') {
    const names = table?.[part] ?? [];
    const kinds = names.map((name) => measuredQuantity(name)?.entry.kind ?? 'any');
    return part === 'x' && relation ? [relation.from, ...kinds] : kinds;
  }
  const isPlain = primitive === 'number' || primitive === 'integer';
  const kinds = [quantity, range, table?.unit, relation?.to, isPlain ? ('number' as const) : undefined];
  const own = kinds.filter((kind) => kind !== undefined);
  return [...new Set(items ? [...own, ...kindsOf(items, part)] : own)];
}
