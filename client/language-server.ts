import * as vscode from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { debugArguments } from './debug-port.ts';
import { engineFiles, watchedFiles } from './files.ts';
import { showPlacesCommand } from './show-places.ts';

/** Pages of checks are documents of this scheme, `enginewright-check:/injector-duty-high.md`; they need no network. */
export const checkPageScheme = 'enginewright-check';

/** The language server's process and the connection to it, started once and only when wanted. */
export class LanguageServer {
  readonly #module: string;
  readonly #debugPort: number | undefined;
  #client: LanguageClient | undefined;
  #watcher: vscode.FileSystemWatcher | undefined;
  #starting: Promise<void> | undefined;

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

  /** Asks the server something that is no part of the protocol; starts it where it does not run. */
  async ask<Answer>(request: string, params: object): Promise<Answer> {
    await this.start();
    if (!this.#client) throw new Error('The language server does not run.');
    return this.#client.sendRequest<Answer>(request, params);
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
    this.#watcher?.dispose();
    await client?.dispose();
  }

  async #launch(): Promise<void> {
    // Loaded here and not at the top, so that a window with other YAML alone never pays for it.
    const { ErrorAction, LanguageClient, TransportKind } = await import('vscode-languageclient/node');
    this.#watcher = vscode.workspace.createFileSystemWatcher(watchedFiles);
    const run = { module: this.#module, transport: TransportKind.ipc };
    const client: LanguageClient = new LanguageClient(
      'enginewright',
      'Enginewright',
      { run, debug: { ...run, options: { execArgv: debugArguments(this.#debugPort) } } },
      {
        documentSelector: engineFiles,
        synchronize: { fileEvents: this.#watcher },
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
        },
      },
      this.#debugPort !== undefined,
    );
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
