import type { PathStep } from '../source/tree.ts';

/** Whether a path is that of the overrides of a map set. Below it, paths are those of the engine. */
export function isApply(path: readonly PathStep[]): boolean {
  return path.length === 4 && path[0] === 'map_sets' && path[3] === 'apply';
}

/** The section of the engine that a path leads into, either directly or through the overrides of a map set. */
export function sectionAt(path: readonly PathStep[]): PathStep | undefined {
  return path.length > 4 && isApply(path.slice(0, 4)) ? path[4] : path[0];
}
