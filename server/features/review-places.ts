import type { Location } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import type { Change, TableChange } from '../../shared/compare/change.ts';
import { placeInGrid } from '../../shared/compare/grid.ts';
import { type Item, itemsOf } from '../../shared/compare/item.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import type { FaultRow } from '../../shared/faults/table.ts';
import { keyNode } from '../../shared/source/source-file.ts';
import { type Node, pathText, type Span } from '../../shared/source/tree.ts';
import type { Editor } from '../editor.ts';
import { locationOf, rangeOfPlace } from '../places.ts';

/** The place in the working text of each item of a review. The place of something removed is the section that it was in. */
export class ReviewPlaces {
  readonly #analysis: Analysis;
  readonly #editor: Editor;

  constructor(analysis: Analysis, editor: Editor) {
    this.#analysis = analysis;
    this.#editor = editor;
  }

  ofChange(change: Change): Location {
    const { was, is } = change;
    const cell = change.type === 'table' ? firstMoved(change) : undefined;
    const place = cell ? this.#at(cell) : is && this.#ofNode(is.node);
    return place ?? this.#near(pathText((is ?? was)!.path));
  }

  ofValue({ is, at }: ValueConsequence): Location {
    return (is && this.#ofNode(is.node)) ?? this.#near(at);
  }

  ofFault({ node, of }: FaultRow): Location {
    return (node && this.#ofNode(node)) ?? this.#near(of);
  }

  /** `isCurrent`: the finding is one of the working text. */
  ofFinding(finding: Finding, isCurrent: boolean): Location {
    if (!isCurrent) return this.#near(finding.path);
    const place = finding.writtenAt ?? finding;
    return { uri: this.#editor.uriOf(place.file), range: rangeOfPlace(this.#analysis, place) };
  }

  /** The key of the node, or the node itself, in any file of the installation. */
  #ofNode(node: Node): Location | undefined {
    return this.#at(keyNode(node));
  }

  #at(span: Span): Location | undefined {
    const file = this.#analysis.files.find(({ path }) => path === span.chunk.file);
    return file?.chunks.has(span.chunk) ? locationOf(file, span, this.#editor) : undefined;
  }

  /** The innermost item that the path leads into. */
  #near(path: string): Location {
    let found: Item = itemsOf(this.#analysis);
    for (let next: Item | undefined = found; next; next = next && childTowards(next, path)) found = next;
    const start = { line: 0, character: 0 };
    const top = { uri: this.#editor.uriOf(this.#analysis.file.path), range: { start, end: start } };
    return found.path.length === 0 ? top : (this.#ofNode(found.node) ?? top);
  }
}

/** The first changed cell; if the breakpoints changed, the first cell of the table. */
function firstMoved({ grid, is: { value } }: TableChange): Node | undefined {
  if (value?.type !== 'table') return undefined;
  const { row, column } = placeInGrid(grid, grid.resampled ? 0 : (grid.moved[0] ?? 0));
  return value.rows[row]?.[column];
}

function childTowards(item: Item, path: string): Item | undefined {
  if (item.type === 'leaf') return undefined;
  return [...item.entries.values()].find((child) => {
    const own = pathText(child.path);
    return path.startsWith(own) && /^($|[.[])/.test(path.slice(own.length));
  });
}
