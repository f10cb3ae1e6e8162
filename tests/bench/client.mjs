// A headless editor: starts a language server as a process and uses the protocol.
import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import {
  createProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';

const CAPABILITIES = {
  workspace: { configuration: true, workspaceFolders: true },
  textDocument: {
    completion: { completionItem: { snippetSupport: true, documentationFormat: ['markdown'] } },
    hover: { contentFormat: ['markdown'] },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
  },
};

/** An editor connected to any server. */
export class ProtocolClient {
  #waiting = new Map();
  #texts = new Map();
  #versions = new Map();
  /** The errors that the server logged or wrote to its error output. */
  complaints = [];
  published = new Map();
  /** Resolves when the server has ended; never for a server in this process. */
  ended = new Promise(() => {});

  /**
   * @param {import('node:stream').Readable} fromServer
   * @param {import('node:stream').Writable} toServer
   * @param {{ folder?: string, folders?: string[], settings?: (section: string) => unknown }} options addresses of
   *   what is open in the window
   */
  constructor(
    fromServer,
    toServer,
    { folder, folders = folder ? [folder] : [], settings = () => ({}) } = {},
  ) {
    this.folders = folders;
    this.wire = createProtocolConnection(
      new StreamMessageReader(fromServer),
      new StreamMessageWriter(toServer),
    );
    this.wire.onNotification('textDocument/publishDiagnostics', (params) => this.#publish(params));
    this.wire.onNotification('window/logMessage', ({ type, message }) => {
      if (type === 1) this.complaints.push(message);
    });
    this.wire.onRequest('workspace/configuration', ({ items }) =>
      items.map(({ section }) => settings(section)),
    );
    this.wire.onRequest('workspace/workspaceFolders', () => this.#workspaceFolders());
    this.wire.onRequest('client/registerCapability', () => null);
    this.wire.listen();
  }

  /** The server ends when the process with the id `processId` ends, if one is given. */
  async start(processId = null) {
    await this.ask('initialize', {
      processId,
      rootUri: this.folders[0] ?? null,
      workspaceFolders: this.#workspaceFolders(),
      capabilities: CAPABILITIES,
    });
    await this.tell('initialized', {});
  }

  #workspaceFolders() {
    return this.folders.length > 0 ? this.folders.map((uri) => ({ uri, name: 'folder' })) : null;
  }

  /** Opens other folders in the window. */
  async openFolders(folders) {
    this.folders = folders;
    await this.tell('workspace/didChangeWorkspaceFolders', { event: { added: [], removed: [] } });
  }

  ask(method, params, token) {
    return this.wire.sendRequest(method, params, ...(token ? [token] : []));
  }

  tell(method, params) {
    return this.wire.sendNotification(method, params);
  }

  /** Opens a text and waits for its findings. */
  open(uri, text) {
    const version = (this.#versions.get(uri) ?? 0) + 1;
    this.#versions.set(uri, version);
    this.#texts.set(uri, text);
    const answer = this.findings(uri, version);
    this.tell('textDocument/didOpen', { textDocument: { uri, languageId: 'yaml', version, text } });
    return answer;
  }

  /** Replaces the text from `start` to `end` (UTF-16 units) and waits for the findings. */
  edit(uri, start, end, text) {
    return this.send(uri, [this.change(uri, { start, end, text })]);
  }

  /** Changes the text in the client only; returns the change for `send`. */
  change(uri, { start, end, text }) {
    const before = this.#texts.get(uri);
    this.#texts.set(uri, before.slice(0, start) + text + before.slice(end));
    return { range: { start: positionIn(before, start), end: positionIn(before, end) }, text };
  }

  /** Sends consecutive changes as the next version and waits for its findings. */
  send(uri, contentChanges) {
    const version = this.#versions.get(uri) + 1;
    this.#versions.set(uri, version);
    const answer = this.findings(uri, version);
    this.tell('textDocument/didChange', { textDocument: { uri, version }, contentChanges });
    return answer;
  }

  close(uri) {
    return this.tell('textDocument/didClose', { textDocument: { uri } });
  }

  text(uri) {
    return this.#texts.get(uri);
  }

  /** Resolves with the findings of a version of a document. */
  findings(uri, version) {
    const found = new Promise((resolve, reject) => {
      this.#waiting.set(uri, { version, resolve });
      this.ended.then(() => reject(new Error(`the server ended: ${this.complaints.join('\n')}`)));
    });
    // If several versions are sent, only the last is awaited.
    found.catch(() => {});
    return found;
  }

  #publish({ uri, version, diagnostics }) {
    this.published.set(uri, diagnostics);
    const waiting = this.#waiting.get(uri);
    if (!waiting || (version !== undefined && version !== waiting.version)) return;
    this.#waiting.delete(uri);
    waiting.resolve(diagnostics);
  }
}

/** An editor that starts a server and talks to it over standard input and output. */
export class EditorClient extends ProtocolClient {
  /**
   * @param {readonly string[]} args what `node` runs
   * @param {ConstructorParameters<typeof ProtocolClient>[2]} options
   */
  constructor(args, options) {
    const server = spawn(process.execPath, args, { stdio: ['pipe', 'pipe', 'pipe'] });
    super(server.stdout, server.stdin, options);
    this.process = server;
    server.stderr.on('data', (data) => this.complaints.push(String(data)));
    this.ended = new Promise((resolve) => server.on('close', resolve));
  }

  start() {
    return super.start(process.pid);
  }

  /** Resident memory of the server in MB; undefined if the system does not report it. */
  memory() {
    const status = `/proc/${this.process.pid}/status`;
    const found = existsSync(status) && /^VmRSS:\s+(\d+) kB/m.exec(readFileSync(status, 'utf8'));
    return found ? Number(found[1]) / 1024 : undefined;
  }

  /** CPU time of the server so far, in s; undefined if the system does not report it. */
  processorTime() {
    const stat = `/proc/${this.process.pid}/stat`;
    if (!existsSync(stat)) return undefined;
    // After the name, which may contain blanks: fields 14 and 15 of the line, in hundredths of a second.
    const [user, system] = readFileSync(stat, 'utf8').split(') ')[1].split(' ').slice(11, 13);
    return (Number(user) + Number(system)) / 100;
  }

  async stop() {
    await this.ask('shutdown');
    await this.tell('exit');
    await this.ended;
    this.wire.dispose();
  }
}

/** A position as LSP counts it. */
export function positionIn(text, offset) {
  let line = 0;
  let start = 0;
  for (const { index, 0: end } of text.matchAll(/\r\n?|\n/g)) {
    if (index + end.length > offset) break;
    line += 1;
    start = index + end.length;
  }
  return { line, character: offset - start };
}
