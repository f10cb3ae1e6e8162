import type { PathStep } from '../source/tree.ts';

/** What a map set lays over the engine; its places are those of the engine. */
export function isApply(path: readonly PathStep[]): boolean {
  return path.length === 4 && path[0] === 'map_sets' && path[3] === 'apply';
}

/** The section of the engine that a path leads into, in what a map set lays over it too. */
export function sectionAt(path: readonly PathStep[]): PathStep | undefined {
  return path.length > 4 && isApply(path.slice(0, 4)) ? path[4] : path[0];
}
