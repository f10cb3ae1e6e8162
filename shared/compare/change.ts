import type { GridDifference } from './grid.ts';
import type { Item, Leaf } from './item.ts';

/** The difference between two numbers, in the unit of a difference: `kPa` for `kPa abs`, `K` for `°C`. */
export interface Step {
  /** New minus old, in the canonical unit. */
  readonly canonical: number;
  /** `points` for percentages. */
  readonly unit: string;
  /**
   * New / old − 1; undefined if that means nothing: from zero, or where zero is arbitrary (temperature, gauge
   * pressure).
   */
  readonly ratio: number | undefined;
}

/** A changed value. */
export interface ValueChange {
  readonly type: 'value';
  readonly was: Leaf;
  readonly is: Leaf;
  /** Only for numbers. */
  readonly step: Step | undefined;
  /** Another place whose value and this one's were exchanged. */
  readonly exchangedWith?: Leaf;
}

/** A curve or map whose cells or breakpoints changed. */
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

/** A thing with another name or place, and with all or most of its values unchanged. */
export interface Renaming {
  readonly type: 'renamed' | 'moved';
  readonly was: Item;
  readonly is: Item;
  /** Keys elsewhere that refer to it by name and were changed with it. */
  readonly references: readonly { readonly was: Leaf; readonly is: Leaf }[];
}

export type Change = ValueChange | TableChange | Addition | Removal | Renaming;

export function isRenaming(change: Change): change is Renaming {
  return change.type === 'renamed' || change.type === 'moved';
}
