import type { BaseLanguageClient, Disposable } from 'vscode-languageclient';
import type { EditorNotifications, SentFile } from '../server/protocol.ts';

type Client = Pick<BaseLanguageClient, 'isRunning' | 'onDidChangeState' | 'sendNotification'>;

/**
 * Sends the server files that it cannot read itself, in the order in which they changed: a file is read only after what changed before it
 * was sent, so that a slow read never overwrites a newer text. Whenever the server begins to run, it gets all files,
 * because some may have changed since they were read for its start.
 */
export class FileSender {
  readonly #client: Client;
  readonly #running: Disposable;
  /** What is sent before the server first runs waits for it. */
  #last: Promise<void>;

  constructor(client: Client, all: () => Promise<SentFile[]>) {
    this.#client = client;
    let start: () => void;
    this.#last = new Promise((resolve) => {
      start = resolve;
    });
    this.#running = client.onDidChangeState(() => {
      if (!client.isRunning()) return;
      start();
      void this.send(all);
    });
  }

  /** Resolves after the files were sent. If the server has ended, they are among all files when it runs again. */
  send(read: () => Promise<SentFile[]>): Promise<void> {
    this.#last = this.#last.then(() => this.#send(read)).catch(() => undefined);
    return this.#last;
  }

  async #send(read: () => Promise<SentFile[]>): Promise<void> {
    if (!this.#client.isRunning()) return;
    const method = 'enginewright/files' satisfies keyof EditorNotifications;
    const params: EditorNotifications[typeof method] = { files: await read() };
    if (params.files.length > 0) await this.#client.sendNotification(method, params);
  }

  dispose(): void {
    this.#running.dispose();
  }
}
