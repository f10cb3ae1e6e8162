import type { PathStep } from '../source/tree.ts';

/** The number of steps to the overrides of a map set, and to those of the standby controller. */
const [IN_MAP_SET, IN_STANDBY] = [4, 2];

/** Whether a path is that of the overrides of a map set or of the standby controller. Below it, paths are those of the engine. */
export function isApply(path: readonly PathStep[]): boolean {
  const isOfSet = path.length === IN_MAP_SET && path[0] === 'map_sets' && path[3] === 'apply';
  return isOfSet || (path.length === IN_STANDBY && path[0] === 'standby' && path[1] === 'apply');
}

/** The path in the engine that a path leads to through overrides; undefined if it is not below any. */
export function appliedPath(path: readonly PathStep[]): readonly PathStep[] | undefined {
  const depth = [IN_MAP_SET, IN_STANDBY].find(
    (steps) => path.length > steps && isApply(path.slice(0, steps)),
  );
  return depth === undefined ? undefined : path.slice(depth);
}

/** The section of the engine that a path leads into, either directly or through overrides. */
export function sectionAt(path: readonly PathStep[]): PathStep | undefined {
  return (appliedPath(path) ?? path)[0];
}
