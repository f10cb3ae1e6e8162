import type { Engine, Installation } from '../configuration/installation.ts';
import { nodesOf, type Value, valueAtPath } from '../configuration/values.ts';
import type { Node } from '../source/tree.ts';

/** What the key of a storage field names: a key path, in the engine without a map set or with one. */
export interface FieldPlace {
  /** The number of the map set in the engine file, from 1; undefined for the engine without a map set. */
  readonly set: number | undefined;
  /** The key path in the engine file. */
  readonly path: string;
}

/** `map_set[2].boost.target` is `boost.target` of the second map set. */
export function placeOfField(key: string): FieldPlace {
  const [, set, path] = /^map_set\[([1-9]\d{0,5})\]\.(.*)$/s.exec(key) ?? [];
  return set === undefined || path === undefined ? { set: undefined, path: key } : { set: Number(set), path };
}

/** The engine whose value a field stores: without that map set, the one without a map set. */
export function engineOf({ engines }: Installation, { set }: FieldPlace): Engine {
  return (set === undefined ? undefined : engines[set]) ?? engines[0]!;
}

/** The value that a field stores. */
export function valueOfField(installation: Installation, key: string): Value | undefined {
  const place = placeOfField(key);
  return valueAtPath(engineOf(installation, place).configuration, place.path.split('.'));
}

/** What is written at a key path, whether or not it can be read as a value. */
export function writtenAt(configuration: object, path: string): Node | undefined {
  const steps = path.split('.');
  let section: unknown = configuration;
  for (const step of steps.slice(0, -1)) section = (section as Record<string, unknown> | undefined)?.[step];
  if (typeof section !== 'object' || section === null) return undefined;
  const layers = nodesOf(section).map((layer) => layer.entry(steps.at(-1)!)?.value);
  return layers.findLast((node) => node !== undefined);
}
