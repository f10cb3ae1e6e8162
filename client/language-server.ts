import * as vscode from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import type {
  Answer,
  CustomMethod,
  CustomNotifications,
  InitializationOptions,
  Params,
} from '../server/protocol.ts';
import { debugArguments } from './debug-port.ts';
import { engineFiles } from './files.ts';
import { showPlacesCommand } from './show-places.ts';

/** The scheme of the pages of checks: `enginewright-check:/injector-duty-high.md`. They need no network. */
export const checkPageScheme = 'enginewright-check';

/** The process of the language server and the connection to it, started once and on demand. */
export class LanguageServer {
  readonly #module: string;
  readonly #debugPort: number | undefined;
  #client: LanguageClient | undefined;
  #starting: Promise<void> | undefined;
  readonly #changed = new vscode.EventEmitter<readonly string[]>();
  /** The URIs of open documents whose results may have changed without an edit in them. */
  readonly onDidChange = this.#changed.event;

  /** `module` is the path of the server's bundle; `debugPort` the port for a debugger, undefined for none. */
  constructor(module: string, debugPort: number | undefined) {
    this.#module = module;
    this.#debugPort = debugPort;
  }

  get running(): boolean {
    return this.#client?.isRunning() ?? false;
  }

  /** Starts the server unless it has been started. A failure is shown to the user, not thrown. */
  start(): Promise<void> {
    this.#starting ??= this.#launch();
    return this.#starting;
  }

  /** Sends a request beyond the Language Server Protocol; starts the server if necessary. */
  async ask<Method extends CustomMethod>(method: Method, params: Params<Method>): Promise<Answer<Method>> {
    await this.start();
    if (!this.#client) throw new Error('The language server is not running.');
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
    const client = this.#client;
    this.#client = undefined;
    await client?.dispose();
  }

  async #launch(): Promise<void> {
    // Loaded here so that a window with other YAML files only does not pay for it.
    const { ErrorAction, LanguageClient, TransportKind } = await import('vscode-languageclient/node');
    const run = { module: this.#module, transport: TransportKind.ipc };
    const client: LanguageClient = new LanguageClient(
      'enginewright',
      'Enginewright',
      { run, debug: { ...run, options: { execArgv: debugArguments(this.#debugPort) } } },
      {
        documentSelector: engineFiles,
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
          suggestAgain: 'editor.action.triggerSuggest',
          asksNumbers: true,
          changeNotifications: true,
        } satisfies InitializationOptions,
      },
      this.#debugPort !== undefined,
    );
    const changed = 'enginewright/changed' satisfies keyof CustomNotifications;
    client.onNotification(changed, ({ uris }: CustomNotifications[typeof changed]) =>
      this.#changed.fire(uris),
    );
    // Restarts a server that has ended, unless it ends five times in three minutes.
    const ending = client.createDefaultErrorHandler();
    this.#client = client;
    try {
      await client.start();
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      void vscode.window.showErrorMessage(`The Enginewright language server failed to start: ${reason}`);
    }
  }
}
