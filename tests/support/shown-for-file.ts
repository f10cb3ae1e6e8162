import type { SourceFile } from '../../shared/source/source-file.ts';
import { plainValue } from '../../shared/source/tree.ts';

/** A value as plain JSON data. */
export const plain = (value: unknown) => JSON.parse(JSON.stringify(value));

/** The chunks, the tree and the faults of a file. */
export function shownForFile({ chunks, root, faults }: SourceFile): unknown {
  const places = [...chunks].map(([chunk, start]) => [start, chunk.prefix.join(), chunk.text]);
  const wrong = faults.map(({ chunk, rule, start, message }) => [chunks.get(chunk)! + start, rule, message]);
  return { places, values: plain(plainValue(root)), wrong };
}
