import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import type {
  Answer,
  CustomMethod,
  CustomNotifications,
  InitializationOptions,
  Params,
} from '../server/protocol.ts';
import { engineFiles } from './files.ts';
import { showPlacesCommand } from './show-places.ts';
import { sendChanges, virtualFiles } from './virtual-files.ts';

/** The scheme of the pages of checks: `enginewright-check:/injector-duty-high.md`. They need no network. */
export const checkPageScheme = 'enginewright-check';

/** Where VS Code runs the extension: in Node or in a browser. Nothing else in the client depends on it. */
export interface Host {
  /** Whether the server cannot read a file itself, so that its text must be sent. */
  isVirtual(uri: vscode.Uri): boolean;
  /** A client, not yet started, of a language server of its own. */
  client(id: string, name: string, options: LanguageClientOptions): Promise<BaseLanguageClient>;
}

/** `off` before the first start and after an end that was wanted; `stopped` after one that was not, or a failed start. */
export type ServerState = 'off' | 'starting' | 'running' | 'stopped';

/** The language server and the connection to it, started once and on demand. */
export class LanguageServer {
  readonly #host: Host;
  #client: BaseLanguageClient | undefined;
  #starting: Promise<void> | undefined;
  #sending: vscode.Disposable | undefined;
  readonly #changed = new vscode.EventEmitter<readonly string[]>();
  /** The URIs of open documents whose results may have changed without an edit in them. */
  readonly onDidChange = this.#changed.event;

  readonly #output = vscode.window.createOutputChannel('Enginewright', { log: true });
  #state: ServerState = 'off';
  readonly #changedState = new vscode.EventEmitter<ServerState>();
  readonly onDidChangeState = this.#changedState.event;

  constructor(host: Host) {
    this.#host = host;
  }

  get state(): ServerState {
    return this.#state;
  }

  get running(): boolean {
    return this.#state === 'running';
  }

  /** Starts the server unless it has been started. A failure is shown to the user, not thrown. */
  start(): Promise<void> {
    this.#starting ??= this.#launch();
    return this.#starting;
  }

  /** Sends a request beyond the Language Server Protocol; starts the server if necessary. */
  async ask<Method extends CustomMethod>(method: Method, params: Params<Method>): Promise<Answer<Method>> {
    await this.start();
    if (!this.#client || this.#state === 'stopped')
      throw new Error(
        'The language server has stopped. Restart it with “Enginewright: Restart Language Server”.',
      );
    return this.#client.sendRequest<Answer<Method>>(method, params);
  }

  async restart(): Promise<void> {
    if (this.#starting === undefined) {
      void vscode.window.showInformationMessage(
        'The language server is not running. It starts when you open an engine or controller file.',
      );
      return;
    }
    await this.stop();
    await this.start();
  }

  async stop(): Promise<void> {
    await this.#starting;
    this.#starting = undefined;
    this.#sending?.dispose();
    const client = this.#client;
    this.#client = undefined;
    await client?.dispose();
    this.#became('off');
  }

  #became(state: ServerState): void {
    if (state === this.#state) return;
    this.#state = state;
    this.#changedState.fire(state);
  }

  async #launch(): Promise<void> {
    this.#became('starting');
    const isVirtual = (uri: vscode.Uri) => this.#host.isVirtual(uri);
    // Loaded here so that a window with other YAML files only does not pay for it.
    const [{ ErrorAction, State }, files] = await Promise.all([
      import('vscode-languageclient'),
      virtualFiles(isVirtual),
    ]);
    const client = await this.#host.client('enginewright', 'Enginewright', {
      documentSelector: engineFiles(),
      // A client closes its own channel when it gives up, and fails when its process ends after that.
      outputChannel: this.#output,
      // By default the client would pull findings only when a document is opened.
      diagnosticPullOptions: { onChange: true },
      errorHandler: {
        // A failed write means that the process has ended, and `closed` handles that. By default the client would shut
        // down after several failed writes and never restart the server.
        error: () => ({ action: ErrorAction.Continue, handled: true }),
        closed: () => ending.closed(),
      },
      initializationOptions: {
        checkPages: checkPageScheme,
        showPlaces: showPlacesCommand,
        ...hintLength(),
        suggestAgain: 'editor.action.triggerSuggest',
        asksNumbers: true,
        changeNotifications: true,
        files,
      } satisfies InitializationOptions,
    });
    const changed = 'enginewright/changed' satisfies keyof CustomNotifications;
    client.onNotification(changed, ({ uris }: CustomNotifications[typeof changed]) =>
      this.#changed.fire(uris),
    );
    this.#sending = sendChanges(client, isVirtual);
    // Restarts a server that has ended, unless it ends five times in three minutes.
    const ending = client.createDefaultErrorHandler();
    this.#client = client;
    client.onDidChangeState(({ newState }) => {
      if (this.#client !== client) return;
      this.#became(
        newState === State.Running ? 'running' : newState === State.Stopped ? 'stopped' : 'starting',
      );
    });
    try {
      await client.start();
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      this.#became('stopped');
      void vscode.window.showErrorMessage(`The Enginewright language server failed to start: ${reason}`);
    }
  }
}

/** The setting of the editor, whose 0 means no limit. */
function hintLength(): Pick<InitializationOptions, 'hintLength'> {
  const length = vscode.workspace.getConfiguration('editor').get<number>('inlayHints.maximumLength');
  return length ? { hintLength: length } : {};
}
