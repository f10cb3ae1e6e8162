import type {
  Explanation,
  FaultTableView,
  HarnessView,
  InstallationView,
  Place,
  ValueAsked,
} from '../../server/features/installation-view-types.ts';

export type PageName = 'values' | 'pins' | 'bounds' | 'harness' | 'faults' | 'sensors';

/** A message from the extension to the panel. */
export type ToPanel =
  /** Null if the document belongs to no engine. */
  | { readonly type: 'shown'; readonly view: InstallationView | null }
  /** The data of a page that is requested only while it is shown. */
  | { readonly type: 'harness'; readonly view: HarnessView | null }
  | { readonly type: 'faults'; readonly view: FaultTableView | null }
  /** Show this page. */
  | { readonly type: 'page'; readonly page: PageName }
  /** Null if the value cannot be derived from the current text. */
  | { readonly type: 'explained'; readonly asked: ValueAsked; readonly explanation: Explanation | null };

/** A message from the panel to the extension. */
export type FromPanel =
  /** The panel can draw. */
  | { readonly type: 'ready' }
  /** This page is shown. */
  | { readonly type: 'page'; readonly page: PageName }
  | { readonly type: 'explain'; readonly asked: ValueAsked }
  /** Add the state of a bound as an operating point. */
  | { readonly type: 'add'; readonly value: string }
  /** Show the text at a place. */
  | { readonly type: 'go'; readonly place: Place };
