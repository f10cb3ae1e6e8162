import { PassThrough } from 'node:stream';
import {
  createConnection,
  createProtocolConnection,
  type InitializeParams,
  type ProtocolConnection,
  PublishDiagnosticsNotification,
  type PublishDiagnosticsParams,
  type Registration,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import type { CustomNotifications, InitializationOptions } from '../../server/protocol.ts';
import { serve } from '../../server/server.ts';
import type { Disk } from '../../server/texts.ts';

export const ENGINE = 'file:///shop/case.engine.yaml';

/** An editor connected to the server; it records what the server publishes. */
export class FakeEditor {
  readonly #wire: ProtocolConnection;
  readonly published: PublishDiagnosticsParams[] = [];
  readonly progress: unknown[] = [];
  refreshes = 0;
  diagnosticRefreshes = 0;
  settings: unknown = {};

  readonly registered: Registration[] = [];
  /** The URIs in each `enginewright/changed`. */
  readonly changed: (readonly string[])[] = [];

  /** `stamp` returns the text by which the server recognises that a file has changed. */
  constructor(files: Readonly<Record<string, string>> = {}, stamp?: NonNullable<Disk['stamp']>) {
    const toServer = new PassThrough();
    const toEditor = new PassThrough();
    const [reader, writer] = [new StreamMessageReader(toServer), new StreamMessageWriter(toEditor)];
    serve((options) => createConnection(reader, writer, options), {
      read: (path) => files[path],
      list: () => Object.keys(files),
      ...(stamp && { stamp }),
    });
    this.#wire = createProtocolConnection(
      new StreamMessageReader(toEditor),
      new StreamMessageWriter(toServer),
    );
    this.#wire.onNotification(PublishDiagnosticsNotification.type, (params) => {
      this.published.push(params);
    });
    this.#wire.onNotification(
      'enginewright/changed',
      ({ uris }: CustomNotifications['enginewright/changed']) => {
        this.changed.push(uris);
      },
    );
    this.#wire.onRequest('workspace/configuration', () => [this.settings]);
    this.#wire.onRequest('client/registerCapability', ({ registrations }) => {
      this.registered.push(...registrations);
      return null;
    });
    this.#wire.onRequest('window/workDoneProgress/create', () => null);
    this.#wire.onNotification('$/progress', ({ value }: { value: unknown }) => {
      this.progress.push(value);
    });
    this.#wire.onRequest('workspace/diagnostic/refresh', () => {
      this.diagnosticRefreshes += 1;
      return null;
    });
    this.#wire.onRequest('workspace/inlayHint/refresh', () => {
      this.refreshes += 1;
      return null;
    });
    this.#wire.listen();
  }

  async start(
    capabilities: InitializeParams['capabilities'] = {},
    initializationOptions: InitializationOptions = {},
  ) {
    const params = { processId: null, rootUri: 'file:///shop', capabilities, initializationOptions };
    const result = await this.ask('initialize', params);
    await this.tell('initialized', {});
    return result as { capabilities: Record<string, unknown>; serverInfo: unknown };
  }

  ask(method: string, params: object): Promise<unknown> {
    return this.#wire.sendRequest(method, params);
  }

  tell(method: string, params: object): Promise<void> {
    return this.#wire.sendNotification(method, params);
  }

  open(text: string, uri = ENGINE) {
    return this.tell('textDocument/didOpen', { textDocument: { uri, languageId: 'yaml', version: 1, text } });
  }

  at(line: number, character: number) {
    return { textDocument: { uri: ENGINE }, position: { line, character } };
  }

  async stop() {
    await this.ask('shutdown', {});
    this.dispose();
  }

  /** Disconnects from a server that has been shut down or was never initialized. */
  dispose() {
    this.#wire.dispose();
  }
}
