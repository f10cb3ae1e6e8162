import type { Chunk, Node } from '../../shared/source/tree.ts';

/** The part of a hint for one derived value, or for the values of a whole list. */
export interface HintPart {
  readonly text: string;
  /** The tooltip, as Markdown. */
  words(): string;
  /** The places of its inputs, the nearest first. */
  inputs(): Node[];
}

/** A part, and the place that it belongs to. */
export type PlacedPart = readonly [Node, HintPart];

/** The visible part of a file. */
export interface Sight {
  /** The chunks of the text that are at least partly visible. */
  readonly chunks: readonly Chunk[];
  /** Whether a place in one of these chunks is visible. */
  holds(place: Node): boolean;
}
