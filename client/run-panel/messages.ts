import type { RunSteps, RunView } from '../../server/features/run-view-types.ts';

/** A place in a text, as the server gives it. */
export type Place = NonNullable<RunView['tables'][number]['places'][number]>;

/** A message from the extension to the panel. */
export type ToPanel =
  /** Null for any other document. */
  | { readonly type: 'shown'; readonly view: RunView | null }
  /** The rows from one time to another; null if they could not be read. */
  | { readonly type: 'steps'; readonly from: number; readonly to: number; readonly steps: RunSteps | null };

/** A message from the panel to the extension. */
export type FromPanel =
  /** The panel can draw. */
  | { readonly type: 'ready' }
  /** The panel shows the time from one number to another, on this many pixels. */
  | { readonly type: 'zoom'; readonly from: number; readonly to: number; readonly most: number }
  /** Show the text at a place. */
  | { readonly type: 'go'; readonly place: Place };
