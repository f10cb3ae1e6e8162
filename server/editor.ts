import { type InitializeParams, MarkupKind } from 'vscode-languageserver/node';
import type { InitializationOptions } from './protocol.ts';
import { readSettings, type Settings } from './settings.ts';
import { uriOfPath } from './uri.ts';

/** What the editor at the other end can do, and what its user has set. */
export interface Editor {
  /** Completion may insert text with stops to fill in. */
  readonly snippets: boolean;
  /** So may a code action. */
  readonly snippetEdits: boolean;
  /** It shows Markdown in a hover, and beside a completion; else it gets text. */
  readonly hoverMarks: boolean;
  readonly completionMarks: boolean;
  /** Its outline has symbols in symbols; else it gets a list. */
  readonly symbolTree: boolean;
  /** The editor's command that completes again, for what has just been written. */
  readonly suggestAgain: string | undefined;
  /** It has the command that asks for a number, shows what becomes of the cells, and changes them. */
  readonly asksNumbers: boolean;
  /** It is told when something else may follow from documents that nobody wrote in. */
  readonly changeNotifications: boolean;
  /** The address scheme under which the editor shows the page of a check; undefined where it shows none. */
  readonly checkPages: string | undefined;
  /** It asks for settings, and may be told to ask for inlay hints again. */
  readonly asksSettings: boolean;
  readonly refreshesHints: boolean;
  /** It asks for what hints and their parts have to say when one is looked at. */
  readonly resolvesHints: boolean;
  /** It asks for findings itself, of the whole workspace too, and may be told to ask again. */
  readonly pullsDiagnostics: boolean;
  readonly refreshesDiagnostics: boolean;
  readonly refreshesLenses: boolean;
  /** The editor's command that shows a list of places, given an address, a position and the places. */
  readonly showPlaces: string | undefined;
  /** It watches files when it is asked to. */
  readonly watchesFiles: boolean;
  /** It tells when a folder is added to the window or taken away. */
  readonly tellsFolders: boolean;
  readonly settings: Settings;
  uriOf(path: string): string;
}

/** `uriOf` gives an open document the very address that the editor uses for it. */
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
    checkPages: typeof options.checkPages === 'string' ? options.checkPages : undefined,
    asksSettings: workspace?.configuration ?? false,
    refreshesHints: workspace?.inlayHint?.refreshSupport ?? false,
    resolvesHints: textDocument?.inlayHint?.resolveSupport?.properties.includes('label.tooltip') ?? false,
    pullsDiagnostics: textDocument?.diagnostic !== undefined,
    refreshesDiagnostics: workspace?.diagnostics?.refreshSupport ?? false,
    refreshesLenses: workspace?.codeLens?.refreshSupport ?? false,
    showPlaces: typeof options.showPlaces === 'string' ? options.showPlaces : undefined,
    watchesFiles: workspace?.didChangeWatchedFiles?.dynamicRegistration ?? false,
    tellsFolders: workspace?.workspaceFolders ?? false,
    settings: readSettings(undefined),
    uriOf,
  };
}
