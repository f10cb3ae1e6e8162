import type { GridDifference } from './grid.ts';
import type { Item, Leaf } from './item.ts';

/**
 * How far a number moved. Units as people read them: a step of `kPa abs` is told in `kPa`, one of `°C` in
 * `K`.
 */
export interface Step {
  /** New less old, in the canonical unit. */
  readonly canonical: number;
  /** The unit that the step is told in; `points` for a share in per cent. */
  readonly unit: string;
  /**
   * New over old, less 1; undefined where that says nothing: from zero, or of a point on a temperature scale.
   */
  readonly ratio: number | undefined;
}

/** A value that is another one now. */
export interface ValueChange {
  readonly type: 'value';
  readonly was: Leaf;
  readonly is: Leaf;
  /** Of a number. */
  readonly step: Step | undefined;
}

/** A curve or map whose cells or breakpoints moved. */
export interface TableChange {
  readonly type: 'table';
  readonly was: Leaf;
  readonly is: Leaf;
  readonly grid: GridDifference;
}

export interface Addition {
  readonly type: 'added';
  readonly was?: undefined;
  readonly is: Item;
}

export interface Removal {
  readonly type: 'removed';
  readonly was: Item;
  readonly is?: undefined;
}

/** A thing that stands under another name, or in another place, with all or most of what it was. */
export interface Renaming {
  readonly type: 'renamed' | 'moved';
  readonly was: Item;
  readonly is: Item;
  /** Where its name is written elsewhere, and was changed with it. */
  readonly references: readonly { readonly was: Leaf; readonly is: Leaf }[];
}

export type Change = ValueChange | TableChange | Addition | Removal | Renaming;

export function isRenaming(change: Change): change is Renaming {
  return change.type === 'renamed' || change.type === 'moved';
}
