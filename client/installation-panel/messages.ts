import type {
  Explanation,
  InstallationView,
  Place,
  ValueAsked,
} from '../../server/features/installation-view-types.ts';

/** A message from the extension to the panel. */
export type ToPanel =
  /** Null if the document belongs to no engine. */
  | { readonly type: 'shown'; readonly view: InstallationView | null }
  /** Null if the value cannot be derived from the current text. */
  | { readonly type: 'explained'; readonly asked: ValueAsked; readonly explanation: Explanation | null };

/** A message from the panel to the extension. */
export type FromPanel =
  /** The panel can draw. */
  | { readonly type: 'ready' }
  | { readonly type: 'explain'; readonly asked: ValueAsked }
  /** Add the state of a bound as an operating point. */
  | { readonly type: 'add'; readonly value: string }
  /** Show the text at a place. */
  | { readonly type: 'go'; readonly place: Place };
