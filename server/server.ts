import {
  type CancellationToken,
  CodeLensRefreshRequest,
  type Connection,
  DidChangeConfigurationNotification,
  FileChangeType,
  LSPErrorCodes,
  ResponseError,
  TextDocumentSyncKind,
  TextDocuments,
} from 'vscode-languageserver/node';
import { version } from '../package.json';
import { documentsAsTold } from './document.ts';
import { type Editor, editorOf } from './editor.ts';
import { diagnosticsOf } from './features/diagnostics.ts';
import type { Answering } from './features/feature.ts';
import { features } from './features/registry.ts';
import { readSettings } from './settings.ts';
import { Workspace } from './workspace.ts';

/** Serves one editor over the connection. What `read`, `list` and `realPath` give of the disk, `Workspace` says. */
export function serve(
  connection: Connection,
  read: (path: string) => string | undefined,
  list?: (folder: string) => readonly string[],
  realPath?: (path: string) => string,
): void {
  const workspace = new Workspace(read, list, realPath);
  const documents = new TextDocuments(documentsAsTold);
  let editor: Editor = editorOf({ capabilities: {}, processId: null, rootUri: null });

  const logged = <Result>(work: () => Result, otherwise: Result): Result => {
    try {
      return work();
    } catch (error) {
      // What the user is to be told, such as why a name cannot be changed.
      if (error instanceof ResponseError) throw error;
      connection.console.error(error instanceof Error ? (error.stack ?? error.message) : String(error));
      return otherwise;
    }
  };

  const answering: Answering = {
    from: (answer) => async (params, token) => {
      const { uri } = params.textDocument;
      const asked = documents.get(uri)?.version;
      await nextMessage();
      stopIfStale(token, asked === documents.get(uri)?.version);
      return logged(() => {
        const analysis = workspace.analysis(uri);
        return analysis ? answer(analysis, params, editor, workspace) : null;
      }, null);
    },
    alone: (answer, otherwise) => (params) => logged(() => answer(params, editor, workspace), otherwise),
    fileByFile: (answer) => async (params, token) => {
      const paths = logged(() => workspace.paths(), []);
      const isLong = paths.filter((path) => !workspace.isKnown(path)).length > FEW_FILES;
      const progress = isLong ? await connection.window.createWorkDoneProgress() : undefined;
      progress?.begin('Enginewright reads the workspace', 0, undefined, false);
      const parts = [];
      try {
        for (const [index, path] of paths.entries()) {
          await nextMessage();
          stopIfStale(token, true);
          progress?.report((100 * index) / paths.length, readableName(path));
          for (const part of logged(() => answer(path, params, editor, workspace), [])) parts.push(part);
        }
      } finally {
        progress?.done();
      }
      return parts;
    },
  };

  /** An editor that asks for findings is told nothing of its own accord: it would show them twice. */
  const publisher = new Publisher((uri) => {
    const document = documents.get(uri);
    if (!document) return;
    const analysis = logged(() => workspace.analysis(uri), undefined);
    const diagnostics = analysis ? logged(() => diagnosticsOf(analysis, editor), []) : [];
    connection.sendDiagnostics({ uri, version: document.version, diagnostics });
  });

  /** Hints of documents that the user did not type in are not asked for again unless the editor is told to. */
  const changed = (uris: readonly string[], typedIn?: string): void => {
    if (!editor.pullsDiagnostics) publisher.add(uris);
    if (uris.some((uri) => uri !== typedIn)) askAgain();
  };
  const askAgain = (): void => {
    if (editor.refreshesHints) connection.languages.inlayHint.refresh();
    if (editor.refreshesLenses) void connection.sendRequest(CodeLensRefreshRequest.type);
    if (editor.pullsDiagnostics && editor.refreshesDiagnostics) connection.languages.diagnostics.refresh();
  };

  connection.onInitialize((params) => {
    editor = editorOf(params, (path) => workspace.uriOf(path));
    workspace.setFolders(foldersOf(params));
    const capabilities = features.map((feature) => feature.capabilities);
    return {
      serverInfo: { name: 'enginewright', version },
      capabilities: Object.assign(
        {
          textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
          workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
        },
        ...capabilities,
      ),
    };
  });
  connection.onInitialized(async () => {
    if (editor.tellsFolders) connection.workspace.onDidChangeWorkspaceFolders(readNewFolders);
    if (!editor.asksSettings) return;
    await connection.client.register(DidChangeConfigurationNotification.type, { section: 'enginewright' });
    await readNewSettings();
  });

  const readNewSettings = async (): Promise<void> => {
    if (!editor.asksSettings) return;
    const sent = await connection.workspace.getConfiguration('enginewright');
    editor = { ...editor, settings: readSettings(sent) };
    workspace.setReadsOutside(editor.settings.filesOutsideWorkspace);
    if (!editor.pullsDiagnostics) publisher.add(documents.keys());
    askAgain();
  };
  const readNewFolders = async (): Promise<void> => {
    const folders = (await connection.workspace.getWorkspaceFolders()) ?? [];
    changed(workspace.setFolders(folders.map(({ uri }) => uri)));
  };
  connection.onDidChangeConfiguration(readNewSettings);
  connection.onDidChangeWatchedFiles(({ changes }) => {
    changed(changes.flatMap(({ uri, type }) => workspace.touched(uri, type === FileChangeType.Deleted)));
  });
  documents.onDidChangeContent(({ document }) => {
    changed(workspace.rewrite(document.uri, document.changes), document.uri);
  });
  documents.onDidClose(({ document }) => {
    if (!editor.pullsDiagnostics) connection.sendDiagnostics({ uri: document.uri, diagnostics: [] });
    changed(workspace.close(document.uri));
  });

  for (const feature of features) feature.listen(connection, answering);
  documents.listen(connection);
  connection.listen();
}

/** So many files are read before anyone would wonder. */
const FEW_FILES = 10;

const readableName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/** Lets the message that waits behind this one take effect: a newer text, or that the question is withdrawn. */
async function nextMessage(): Promise<void> {
  // In the first turn the connection takes up its queue again, in the second the message has been handled.
  for (let turn = 0; turn < 2; turn++) await new Promise((resolve) => setImmediate(resolve));
}

function stopIfStale(token: CancellationToken, isCurrent: boolean): void {
  if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
  if (!isCurrent) throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed since');
}

function foldersOf({
  workspaceFolders,
  rootUri,
}: Parameters<typeof editorOf>[0] & WorkspaceFolders): string[] {
  if (workspaceFolders) return workspaceFolders.map(({ uri }) => uri);
  return rootUri ? [rootUri] : [];
}

interface WorkspaceFolders {
  readonly workspaceFolders?: readonly { readonly uri: string }[] | null;
}

/** Publishes a document a turn, each once however often it was named, so that a question never waits for all. */
class Publisher {
  readonly #waiting = new Set<string>();

  constructor(readonly publish: (uri: string) => void) {}

  add(uris: readonly string[]): void {
    const isIdle = this.#waiting.size === 0;
    for (const uri of uris) this.#waiting.add(uri);
    if (isIdle && this.#waiting.size > 0) setImmediate(() => this.#next());
  }

  #next(): void {
    const [uri] = this.#waiting;
    if (uri === undefined) return;
    this.#waiting.delete(uri);
    this.publish(uri);
    if (this.#waiting.size > 0) setImmediate(() => this.#next());
  }
}
