import type { Analysis } from '../analysis.ts';
import { isApply } from '../configuration/applied.ts';
import { isLeaf } from '../configuration/bind.ts';
import { readController } from '../configuration/installation.ts';
import { rootShape } from '../configuration/schemas.ts';
import { childShape, type Shape } from '../configuration/shape.ts';
import { nodesOf, type Value } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import type { MappingNode, Node, PathStep } from '../source/tree.ts';

/**
 * A configuration as it is compared: sections of keys with their values, overlays merged, comments and layout
 * removed. A value that cannot be bound is kept as written, so that no change is missed.
 */
export type Item = Section | Leaf;

interface Placed {
  readonly path: readonly PathStep[];
  readonly shape: Shape | undefined;
  /**
   * What the last step of the path names if the section above takes names: `quantity`, `pin`, or `thing` for
   * names that the author chooses; undefined for a key of the schema.
   */
  readonly names: string | undefined;
  /** The labels of the steps: `Fuel`, `Injectors`, `Static flow`. */
  readonly label: readonly string[];
  /** Its node in the uppermost layer. */
  readonly node: Node;
}

export interface Section extends Placed {
  readonly type: 'section';
  readonly entries: ReadonlyMap<string, Item>;
}

export interface Leaf extends Placed {
  readonly type: 'leaf';
  readonly value: Value | undefined;
}

/**
 * The items of an analysed file: for an engine file merged with its base files, without map sets applied.
 */
export const itemsOf = memo((analysis: Analysis): Section => {
  const configuration =
    analysis.installation?.configuration ?? analysis.run ?? readController(analysis.file).configuration;
  const layers = nodesOf(configuration);
  const place: Placed = {
    path: [],
    label: [],
    shape: rootShape(analysis.kind),
    names: undefined,
    node: analysis.file.root,
  };
  return section(place, layers, configuration);
});

/** The name of the base file says nothing about the engine; the values of the base are among the items. */
const NO_MATTER = 'based_on';

function section(place: Placed, layers: readonly MappingNode[], bound: object | undefined): Section {
  const entries = new Map<string, Item>();
  for (const name of new Set(layers.flatMap((layer) => layer.entries.map(({ key }) => key.text)))) {
    if (place.path.length === 0 && name === NO_MATTER) continue;
    const below = layers.map((layer) => layer.get(name)).filter((node) => node !== undefined);
    const path = [...place.path, name];
    const shape = childShape(place.shape, name);
    const names = namesIn(place.shape, name);
    const label = isApply(path)
      ? [path[0] === 'standby' ? 'Standby controller' : `Map set ${path[2]}`]
      : [...place.label, (!names && shape?.label) || name];
    const child = { path, label, shape, names };
    const read = item(child, below, (bound as Record<string, object> | undefined)?.[name]);
    if (read) entries.set(name, read);
  }
  return { ...place, type: 'section', entries };
}

function namesIn(shape: Shape | undefined, name: string): string | undefined {
  if (!shape?.others || shape.properties.has(name)) return undefined;
  return shape.keyNames ?? 'thing';
}

function item(
  place: Omit<Placed, 'node'>,
  layers: readonly Node[],
  bound: object | undefined,
): Item | undefined {
  const node = layers.at(-1)!;
  if (node.type === 'scalar' && node.style === 'empty') return undefined;
  const mappings = layers.filter((layer) => layer.type === 'mapping');
  const isList = place.shape?.items !== undefined && place.shape.properties.size === 0;
  const isSection = place.shape && !isLeaf(place.shape) && !isList && mappings.length > 0;
  if (isSection) return section({ ...place, node: mappings.at(-1)! }, mappings, bound);
  return { ...place, node, type: 'leaf', value: bound as Value | undefined };
}

/** The values of an item, each by its path below the item. */
export function leavesOf(root: Item): Leaf[] {
  if (root.type === 'leaf') return [root];
  return [...root.entries.values()].flatMap(leavesOf);
}
