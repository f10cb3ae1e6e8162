import type {
  Explanation,
  InstallationView,
  Place,
  ValueAsked,
} from '../../server/features/installation-view-types.ts';

/** What the extension tells the panel. */
export type ToPanel =
  /** Null where the document belongs to no engine. */
  | { readonly type: 'shown'; readonly view: InstallationView | null }
  /** Null where the value does not follow from the text as it stands now. */
  | { readonly type: 'explained'; readonly asked: ValueAsked; readonly explanation: Explanation | null };

/** What the panel tells the extension. */
export type FromPanel =
  /** It can draw now. */
  | { readonly type: 'ready' }
  | { readonly type: 'explain'; readonly asked: ValueAsked }
  /** The text is to be shown there. */
  | { readonly type: 'go'; readonly place: Place };
