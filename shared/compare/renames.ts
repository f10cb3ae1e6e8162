import { pathText } from '../source/tree.ts';
import { type Change, isRenaming } from './change.ts';

/** Maps a path in the old file to the path in the new one, following renamed and moved things. */
export type PathMap = (path: string) => string;

export function pathMapOf(changes: readonly Change[]): PathMap {
  const renamed = new Map(
    changes.filter(isRenaming).map(({ was, is }) => [pathText(was.path), pathText(is.path)]),
  );
  // A thing inside a renamed thing was matched after it, so the longest path applies.
  const renamedAbove = longestAbove(new Set(renamed.keys()), '.');
  return (path) => {
    const was = renamedAbove(path);
    return was === undefined ? path : renamed.get(was)! + path.slice(was.length);
  };
}

/** Finds the longest of some paths that a path equals, or continues after one of the marks. */
export function longestAbove(
  paths: ReadonlySet<string>,
  marks: string,
): (path: string) => string | undefined {
  // There are thousands of paths but only dozens of lengths.
  const lengths = [...new Set([...paths].map(({ length }) => length))].sort((a, b) => b - a);
  return (path) => {
    const isEnd = (at: number) => at === path.length || (at < path.length && marks.includes(path[at]!));
    const length = lengths.find((at) => isEnd(at) && paths.has(path.slice(0, at)));
    return length === undefined ? undefined : path.slice(0, length);
  };
}
