import {
  CodeLensRefreshRequest,
  type Connection,
  type ConnectionOptions,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  FileChangeType,
  type InitializeParams,
  type ServerCapabilities,
  TextDocumentSyncKind,
  TextDocuments,
} from 'vscode-languageserver';
import { version } from '../package.json';
import { answeringFrom, logged } from './answering.ts';
import { mergedCapabilities } from './capabilities.ts';
import { documentsByEdits } from './document.ts';
import { type Editor, editorOf } from './editor.ts';
import { diagnosticsOf } from './features/diagnostics.ts';
import { features } from './features/registry.ts';
import { Lifecycle } from './lifecycle.ts';
import type { CustomNotifications, EditorNotifications } from './protocol.ts';
import { Publisher } from './publisher.ts';
import { SentFiles } from './sent-files.ts';
import { readSettings } from './settings.ts';
import type { Disk } from './texts.ts';
import { unhold } from './turns.ts';
import { Workspace } from './workspace.ts';

/**
 * Serves one editor over the connection that `connect` creates with the given options. Without a disk, all files come from
 * the editor.
 */
export function serve(connect: (options: ConnectionOptions) => Connection, disk?: Disk): void {
  const lifecycle = new Lifecycle();
  const connection = connect({ messageStrategy: lifecycle });
  const files = new SentFiles(disk);
  const workspace = new Workspace(files);
  const documents = new TextDocuments(documentsByEdits);
  let editor: Editor = editorOf({ capabilities: {}, processId: null, rootUri: null });

  /** Used only for editors that do not pull findings; the others would show them twice. */
  const publisher = new Publisher((uri) => {
    const document = documents.get(uri);
    if (!document) return;
    const find = () => {
      const analysis = workspace.analysis(uri);
      return analysis ? diagnosticsOf(analysis, editor, workspace.findingsOf(analysis)) : [];
    };
    const diagnostics = logged(connection, find, []);
    connection.sendDiagnostics({ uri, version: document.version, diagnostics });
  });

  /** An editor does not request hints again for documents that the user did not edit, unless it is told to refresh. */
  const changed = (uris: readonly string[], typedIn?: string): void => {
    workspace.proofs.changed(uris);
    if (!editor.pullsDiagnostics) publisher.add(uris);
    const others = uris.filter((uri) => uri !== typedIn);
    if (others.length > 0) askAgain(others);
  };
  const askAgain = (uris: readonly string[]): void => {
    if (editor.refreshesHints) connection.languages.inlayHint.refresh();
    if (editor.refreshesLenses) void connection.sendRequest(CodeLensRefreshRequest.type);
    if (editor.pullsDiagnostics && editor.refreshesDiagnostics) connection.languages.diagnostics.refresh();
    if (editor.changeNotifications) tellOwn(connection, 'enginewright/changed', { uris });
  };

  workspace.proofs.onCompleted = (uri) => {
    if (!editor.pullsDiagnostics) publisher.add([uri]);
    askAgain([uri]);
  };
  workspace.proofs.onFault = (fault) =>
    logged(
      connection,
      () => {
        throw fault;
      },
      undefined,
    );

  connection.onInitialize((params) => {
    editor = editorOf(params, (path) => workspace.uriOf(path));
    if (editor.files) {
      files.receive(editor.files);
      files.onMissing = (uris) => tellOwn(connection, 'enginewright/missing', { uris });
    }
    workspace.setFolders(foldersOf(params));
    const capabilities = mergedCapabilities([OWN_CAPABILITIES, ...features.map((one) => one.capabilities)]);
    return { serverInfo: { name: 'enginewright', version }, capabilities };
  });
  connection.onInitialized(async () => {
    if (editor.tellsFolders) connection.workspace.onDidChangeWorkspaceFolders(readNewFolders);
    const { client } = connection;
    if (editor.watchesFiles)
      await client.register(DidChangeWatchedFilesNotification.type, { watchers: WATCHED });
    if (!editor.asksSettings) return;
    await client.register(DidChangeConfigurationNotification.type, { section: 'enginewright' });
    await readNewSettings();
  });

  const readNewSettings = async (): Promise<void> => {
    if (!editor.asksSettings) return;
    const sent = await connection.workspace.getConfiguration('enginewright');
    editor = { ...editor, settings: readSettings(sent) };
    workspace.setReadsOutside(editor.settings.filesOutsideWorkspace);
    if (!editor.pullsDiagnostics) publisher.add(documents.keys());
    askAgain(documents.keys());
  };
  const readNewFolders = async (): Promise<void> => {
    const folders = (await connection.workspace.getWorkspaceFolders()) ?? [];
    changed(workspace.setFolders(folders.map(({ uri }) => uri)));
  };
  connection.onDidChangeConfiguration(readNewSettings);
  connection.onDidChangeWatchedFiles(({ changes }) => {
    changed(changes.flatMap(({ uri, type }) => workspace.touched(uri, type === FileChangeType.Deleted)));
  });
  const sent = 'enginewright/files' satisfies keyof EditorNotifications;
  connection.onNotification(sent, ({ files: received }: EditorNotifications[typeof sent]) => {
    files.receive(received);
    changed(received.flatMap(({ uri, text }) => workspace.touched(uri, text === null)));
  });
  documents.onDidChangeContent(({ document }) => {
    changed(workspace.rewrite(document.uri, document.changes), document.uri);
  });
  documents.onDidClose(({ document }) => {
    if (!editor.pullsDiagnostics) connection.sendDiagnostics({ uri: document.uri, diagnostics: [] });
    workspace.proofs.closed(document.uri);
    changed(workspace.close(document.uri));
  });

  // Some editors do not watch files, and none watches every file that an engine file may use.
  const looking = setInterval(() => {
    const look = () => workspace.pollDisk();
    changed(logged(connection, look, []));
  }, LOOK_AGAIN);
  unhold(looking);
  connection.onShutdown(() => {
    clearInterval(looking);
    workspace.proofs.stop();
  });

  lifecycle.listen(connection);
  const answering = answeringFrom({ connection, documents, workspace, editor: () => editor });
  for (const feature of features) feature.listen(connection, answering);
  documents.listen(connection);
  connection.listen();
}

function tellOwn<Method extends keyof CustomNotifications>(
  connection: Connection,
  method: Method,
  params: CustomNotifications[Method],
): void {
  void connection.sendNotification(method, params);
}

const OWN_CAPABILITIES: ServerCapabilities = {
  textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
  workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
};

const WATCHED = [
  { globPattern: '**/*.engine.yaml' },
  { globPattern: '**/*.controller.yaml' },
  { globPattern: '**/*.run.yaml' },
];

/** The interval, in ms, at which the server checks files on disk for changes. */
const LOOK_AGAIN = 1000;

function foldersOf({ workspaceFolders, rootUri }: InitializeParams): string[] {
  if (workspaceFolders) return workspaceFolders.map(({ uri }) => uri);
  return rootUri ? [rootUri] : [];
}
