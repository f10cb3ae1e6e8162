import * as vscode from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import type {
  Answer,
  InitializationOptions,
  OwnMethod,
  OwnNotifications,
  Params,
} from '../server/protocol.ts';
import { debugArguments } from './debug-port.ts';
import { engineFiles } from './files.ts';
import { showPlacesCommand } from './show-places.ts';

/** Pages of checks are documents of this scheme, `enginewright-check:/injector-duty-high.md`; they need no network. */
export const checkPageScheme = 'enginewright-check';

/** The language server's process and the connection to it, started once and only when wanted. */
export class LanguageServer {
  readonly #module: string;
  readonly #debugPort: number | undefined;
  #client: LanguageClient | undefined;
  #starting: Promise<void> | undefined;
  readonly #changed = new vscode.EventEmitter<readonly string[]>();
  /** The addresses of open documents from which something else may follow, though nothing was written in them. */
  readonly onDidChange = this.#changed.event;

  /** `module` is the path of the server's bundle; `debugPort` is open to a debugger, undefined where none may attach. */
  constructor(module: string, debugPort: number | undefined) {
    this.#module = module;
    this.#debugPort = debugPort;
  }

  get running(): boolean {
    return this.#client?.isRunning() ?? false;
  }

  /** Starts the server unless it was started before. A failure is shown to the user, not thrown. */
  start(): Promise<void> {
    this.#starting ??= this.#launch();
    return this.#starting;
  }

  /** Asks the server something that is not part of the Language Server Protocol; starts it where it does not run. */
  async ask<Method extends OwnMethod>(method: Method, params: Params<Method>): Promise<Answer<Method>> {
    await this.start();
    if (!this.#client) throw new Error('The language server does not run.');
    return this.#client.sendRequest<Answer<Method>>(method, params);
  }

  async restart(): Promise<void> {
    if (this.#starting === undefined) {
      void vscode.window.showInformationMessage(
        'Nothing to restart: Enginewright starts with the first engine or controller file that you open.',
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
    // Loaded here and not at the top, so that a window with other YAML alone never pays for it.
    const { ErrorAction, LanguageClient, TransportKind } = await import('vscode-languageclient/node');
    const run = { module: this.#module, transport: TransportKind.ipc };
    const client: LanguageClient = new LanguageClient(
      'enginewright',
      'Enginewright',
      { run, debug: { ...run, options: { execArgv: debugArguments(this.#debugPort) } } },
      {
        documentSelector: engineFiles,
        // Findings follow every keystroke; the client of itself would wait for the next opening.
        diagnosticPullOptions: { onChange: true },
        errorHandler: {
          // What cannot be written any more was meant for a process that has ended. Its end is what counts: the client of
          // itself would take the second such write for the server's own fault and never start it again.
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
    const changed = 'enginewright/changed' satisfies keyof OwnNotifications;
    client.onNotification(changed, ({ uris }: OwnNotifications[typeof changed]) => this.#changed.fire(uris));
    // It starts a server that ended again, but for one that ends five times in three minutes.
    const ending = client.createDefaultErrorHandler();
    this.#client = client;
    try {
      await client.start();
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      void vscode.window.showErrorMessage(`Enginewright's language server did not start: ${reason}`);
    }
  }
}
