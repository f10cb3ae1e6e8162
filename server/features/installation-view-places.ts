import type { Analysis } from '../../shared/analysis.ts';
import { underlined } from '../../shared/checks/finding.ts';
import { type Node, pathOf, pathText } from '../../shared/source/tree.ts';
import type { Editor } from '../editor.ts';
import { rangeOf } from '../places.ts';
import type { Place } from './installation-view-types.ts';

/** Finds the place of a node in any file of an analysis; null if it has none. */
export type PlaceOf = (node: Node | undefined) => Place | null;

export function placesOf({ file, files }: Analysis, editor: Editor): PlaceOf {
  const byPath = new Map(files.map((one) => [one.path, one]));
  return (node) => {
    const there = node && byPath.get(node.chunk.file);
    const span = node && underlined(node);
    if (!there || !span || !there.chunks.has(span.chunk)) return null;
    const path = pathText(pathOf(node));
    const name = there === file ? path : `${fileName(there.path)}: ${path}`;
    return { uri: editor.uriOf(there.path), range: rangeOf(there, span), name };
  };
}

const fileName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);
