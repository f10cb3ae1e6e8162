import type { Place } from '../../server/features/installation-view-types.ts';
import type { MemoryView } from '../../server/features/memory-view-types.ts';

/** A message from the extension to the panel. */
export type ToPanel =
  /** Null if the controller of the document describes no storage. */
  | { readonly type: 'shown'; readonly view: MemoryView | null }
  /** The addresses of the values at the cursor, from the base address. */
  | { readonly type: 'marked'; readonly addresses: readonly number[] };

/** A message from the panel to the extension. */
export type FromPanel =
  /** The panel can draw. */
  { readonly type: 'ready' } | { readonly type: 'go'; readonly place: Place };
