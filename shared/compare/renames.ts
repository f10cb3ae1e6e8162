import { pathText } from '../source/tree.ts';
import { type Change, isRenaming } from './change.ts';

/** Where a place of the old file stands in the new one, by the things that were renamed or moved. */
export type PathMap = (path: string) => string;

export function pathMapOf(changes: readonly Change[]): PathMap {
  const renamings = changes
    .filter(isRenaming)
    .map(({ was, is }) => [pathText(was.path), pathText(is.path)] as const)
    // A thing inside a renamed thing was looked at after it: the longer path says more.
    .sort(([a], [b]) => b.length - a.length);
  return (path) => {
    const found = renamings.find(([was]) => path === was || path.startsWith(`${was}.`));
    return found ? found[1] + path.slice(found[0].length) : path;
  };
}
