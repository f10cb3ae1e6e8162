import { type InitializeParams, MarkupKind } from 'vscode-languageserver';
import type { InitializationOptions, SentFile } from './protocol.ts';
import { readSettings, type Settings } from './settings.ts';
import { uriOfPath } from './uri.ts';

/** The capabilities of the editor, and the settings of its user. */
export interface Editor {
  /** Completion may insert snippets. */
  readonly snippets: boolean;
  /** A code action may insert snippets. */
  readonly snippetEdits: boolean;
  /** It shows Markdown in hovers and in the documentation of completions; otherwise it gets plain text. */
  readonly hoverMarks: boolean;
  readonly completionMarks: boolean;
  /** Its outline is a tree; otherwise it gets a list. */
  readonly symbolTree: boolean;
  /** The editor's command that triggers completion again. */
  readonly suggestAgain: string | undefined;
  /** It has the command that requests a number, previews the change of the cells and applies it. */
  readonly asksNumbers: boolean;
  /** It receives a notification when results may have changed for documents that were not edited. */
  readonly changeNotifications: boolean;
  /** The files that the server cannot read itself; undefined if the editor sends none. */
  readonly files: readonly SentFile[] | undefined;
  /** The URI scheme for pages of checks; undefined if the editor does not show them. */
  readonly checkPages: string | undefined;
  /** It answers requests for settings, and supports refreshing inlay hints. */
  readonly asksSettings: boolean;
  readonly refreshesHints: boolean;
  /** It resolves the tooltips of hints on demand. */
  readonly resolvesHints: boolean;
  /** It pulls findings, also for the whole workspace, and supports refreshing them. */
  readonly pullsDiagnostics: boolean;
  readonly refreshesDiagnostics: boolean;
  readonly refreshesLenses: boolean;
  /** The editor's command that shows a list of places, given a URI, a position and the places. */
  readonly showPlaces: string | undefined;
  /** How many characters of the hints of a line are shown; undefined if all are. */
  readonly hintLength: number | undefined;
  /** It can watch files on request. */
  readonly watchesFiles: boolean;
  /** It reports when a folder is added to or removed from the window. */
  readonly tellsFolders: boolean;
  readonly settings: Settings;
  uriOf(path: string): string;
}

/** `uriOf` returns for an open document exactly the URI that the editor uses. */
export function editorOf(
  { capabilities, initializationOptions }: InitializeParams,
  uriOf: Editor['uriOf'] = uriOfPath,
): Editor {
  const { workspace, textDocument } = capabilities;
  const options = (initializationOptions ?? {}) as Partial<Record<keyof InitializationOptions, unknown>>;
  return {
    snippets: textDocument?.completion?.completionItem?.snippetSupport ?? false,
    snippetEdits: workspace?.workspaceEdit?.snippetEditSupport ?? false,
    hoverMarks: textDocument?.hover?.contentFormat?.includes(MarkupKind.Markdown) ?? false,
    completionMarks:
      textDocument?.completion?.completionItem?.documentationFormat?.includes(MarkupKind.Markdown) ?? false,
    symbolTree: textDocument?.documentSymbol?.hierarchicalDocumentSymbolSupport ?? false,
    suggestAgain: typeof options.suggestAgain === 'string' ? options.suggestAgain : undefined,
    asksNumbers: options.asksNumbers === true,
    changeNotifications: options.changeNotifications === true,
    files: Array.isArray(options.files) ? options.files : undefined,
    checkPages: typeof options.checkPages === 'string' ? options.checkPages : undefined,
    asksSettings: workspace?.configuration ?? false,
    refreshesHints: workspace?.inlayHint?.refreshSupport ?? false,
    resolvesHints: textDocument?.inlayHint?.resolveSupport?.properties.includes('label.tooltip') ?? false,
    pullsDiagnostics: textDocument?.diagnostic !== undefined,
    refreshesDiagnostics: workspace?.diagnostics?.refreshSupport ?? false,
    refreshesLenses: workspace?.codeLens?.refreshSupport ?? false,
    showPlaces: typeof options.showPlaces === 'string' ? options.showPlaces : undefined,
    hintLength: typeof options.hintLength === 'number' ? options.hintLength : undefined,
    watchesFiles: workspace?.didChangeWatchedFiles?.dynamicRegistration ?? false,
    tellsFolders: workspace?.workspaceFolders ?? false,
    settings: readSettings(undefined),
    uriOf,
  };
}
