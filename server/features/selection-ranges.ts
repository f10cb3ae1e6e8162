import type { Position, SelectionRange, SelectionRangeParams } from 'vscode-languageserver';
import { type Extent, extentOf, extentOfEntry } from '../../shared/source/extent.ts';
import { nodeAtOffset, offsetsOf, type SourceFile } from '../../shared/source/source-file.ts';
import { nodeAtPath } from '../../shared/source/tree.ts';
import { rangeBetween } from '../places.ts';
import type { Feature } from './feature.ts';
import { namedPath } from './spot.ts';

export const selectionRanges: Feature = {
  capabilities: { selectionRangeProvider: true },
  listen: (connection, { from }) => {
    connection.onSelectionRanges(
      from<SelectionRangeParams, SelectionRange[]>(({ file }, { positions }) =>
        positions.map((position) => selectionRangeAt(file, position)),
      ),
    );
  },
};

/** The steps of a growing selection: the cell, its row, all rows, the table, the section, the file. */
export function selectionRangeAt(file: SourceFile, position: Position): SelectionRange {
  const stretches = stretchesAround(file, file.lines.offset(position));
  const ranges = stretches.reverse().map(({ start, end }) => rangeBetween(file, start, end));
  return ranges.reduce<SelectionRange | undefined>(
    (parent, range) => (parent ? { range, parent } : { range }),
    undefined,
  )!;
}

/** From the smallest range to the whole file, each containing the one before it. */
function stretchesAround(file: SourceFile, offset: number): Extent[] {
  const found: Extent[] = [];
  const add = (extent: Extent) => {
    const inner = found.at(-1) ?? { start: offset, end: offset };
    const holds = extent.start <= inner.start && extent.end >= inner.end;
    const isLarger = found.length === 0 || extent.end - extent.start > inner.end - inner.start;
    if (holds && isLarger) found.push(extent);
  };
  const node = nodeAtOffset(file, offset);
  if (node) {
    if (node.type === 'scalar') add(offsetsOf(file, node));
    const path = namedPath(node);
    for (let length = path.length; length > 0; length--) {
      const value = nodeAtPath(file.root, path.slice(0, length));
      const around = nodeAtPath(file.root, path.slice(0, length - 1));
      if (value && file.chunks.has(value.chunk)) add(extentOf(file, value));
      const entry = around?.type === 'mapping' ? around.entry(String(path[length - 1])) : undefined;
      if (entry) add(extentOfEntry(file, entry));
    }
  }
  add({ start: 0, end: file.text.length });
  return found.length > 0 ? found : [{ start: 0, end: file.text.length }];
}
