import { isLeaf } from '../configuration/bind.ts';
import { engineShape } from '../configuration/schemas.ts';
import { childShape, type Shape } from '../configuration/shape.ts';
import { type Kind, measuredQuantity } from '../quantity/index.ts';
import type { PartName } from './layout.ts';

/** What a key path of an engine file leads to. */
export interface PathEnd {
  /** The value's shape, or that of the section where the path ends or goes astray. */
  readonly shape: Shape;
  /** How many of the path's steps the schema knows. */
  readonly known: number;
  readonly isValue: boolean;
}

export function followPath(steps: readonly string[]): PathEnd {
  let shape = engineShape;
  for (const [known, step] of steps.entries()) {
    const below = isLeaf(shape) ? undefined : childShape(shape, step);
    if (!below) return { shape, known, isValue: false };
    shape = below;
  }
  return { shape, known: steps.length, isValue: isLeaf(shape) || shape.items !== undefined };
}

/** The kinds of number that one part of such a value may hold; none where it holds words. */
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
  return items ? [...own, ...kindsOf(items, part)] : own;
}
