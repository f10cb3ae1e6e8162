// A window with its own server, and the comparisons after each burst.
import { mkdirSync, mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { isDeepStrictEqual } from 'node:util';
import { EditorClient } from '../bench/client.mjs';
import { buildIfStale } from '../build.mjs';
import { familyOf } from '../support/family.mjs';
import { Alone } from './alone.mjs';
import { inTime } from './questions.mjs';
import { firstDifference } from './same.mjs';
import { Window } from './window.mjs';
import { answersAmong, askAll } from './window-questions.mjs';

/** Seconds that a server may take to notice unreported changes on disk, on a busy machine. */
const LONGEST_UNSEEN = 20;
/** The maximum memory of a server, in MB. */
const MOST_MEMORY = 600;

const bundle = buildIfStale();

/** A server with its own folder. */
export class Session {
  #reports = new Map();

  /** Without an open folder, a document can use only files in its own folder. */
  static async start(hasFolder) {
    const session = new Session();
    session.hasFolder = hasFolder;
    session.folder = realpathSync(mkdtempSync(join(tmpdir(), 'enginewright-fuzz-')));
    mkdirSync(join(session.folder, 'below'));
    const folders = hasFolder ? [pathToFileURL(session.folder).href] : [];
    session.client = new EditorClient([bundle, 'serve', '--stdio'], { folders });
    session.alone = new Alone(session.folder, folders);
    session.window = new Window(session.folder, session.client);
    await session.client.start();
    return session;
  }

  async stop() {
    const { process: server, complaints } = this.client;
    if (server.exitCode === null && server.signalCode === null) await this.client.stop();
    else
      console.error(`A server ended with ${server.exitCode ?? server.signalCode}: ${complaints.join('\n')}`);
    rmSync(this.folder, { recursive: true });
  }

  /** Takes the steps of a series and compares everything after each burst. Throws if there is a difference. */
  async run({ recipe, bursts, places, isReviewed, watches }, each = () => {}) {
    const family = familyOf(recipe);
    this.alone.clear();
    this.window.begin(family, watches);
    const asked = { places, committed: family, isReviewed };
    for (const [i, burst] of bursts.entries()) {
      for (const step of burst) {
        this.window.take(step);
        if (step.flush) this.window.flush();
      }
      await this.window.settle();
      await (watches ? this.#compare(asked, i) : this.#compareInTime(asked, i));
      this.#judge();
      await each(burst, asked);
    }
  }

  /** The server checks files on disk at intervals of its own choice. */
  async #compareInTime(asked, turn) {
    for (let left = LONGEST_UNSEEN; ; left--) {
      try {
        return await this.#compare(asked, turn);
      } catch (error) {
        if (left === 0 || !(error instanceof Difference)) throw error;
        await new Promise((resolve) => setTimeout(resolve, 1000));
      }
    }
  }

  async #compare(asked, turn) {
    const { open, texts } = this.window;
    for (const name of open.keys()) {
      const expected = await this.alone.about(name, texts, asked);
      same(name, await askAll(this.client, expected), expected);
      await this.#comparePublished(name, expected[0].answer.items);
    }
    if (turn % 5 === 1 && open.size > 0) await this.#compareAmong(asked);
    if (turn % 3 === 0) await this.#compareReports(asked);
  }

  /** The server publishes findings when it is idle. */
  async #comparePublished(name, items) {
    const uri = this.window.uri(name);
    for (let wait = 0; wait < 500; wait++) {
      if (isDeepStrictEqual(this.client.published.get(uri), items)) return;
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    throw new Difference(name, 'textDocument/publishDiagnostics', this.client.published.get(uri), items);
  }

  async #compareAmong(asked) {
    const { open, texts } = this.window;
    const names = [...open.keys()].sort();
    const expected = await this.alone.among(names, texts, asked);
    const found = await answersAmong(this.client, this.folder, names, texts, asked);
    same(names.join(', '), found, expected);
  }

  /**
   * Compares the findings of every file, open or not. For unchanged files, the server only reports that they are
   * unchanged.
   */
  async #compareReports(asked) {
    const { disk, open, texts, watches } = this.window;
    const previousResultIds = [...this.#reports].map(([uri, { resultId }]) => ({ uri, value: resultId }));
    const { items } = await inTime(
      this.client.ask('workspace/diagnostic', { previousResultIds }),
      'workspace/diagnostic',
    );
    for (const report of items) {
      if (report.kind === 'full') this.#reports.set(report.uri, report);
      if (report.resultId === undefined) this.#reports.delete(report.uri);
    }
    const names = [...disk.keys()].filter((name) => this.hasFolder || open.has(name)).sort();
    const uris = items.filter(({ resultId }) => resultId !== undefined).map(({ uri }) => uri);
    const listed = names.map((name) => this.window.uri(name));
    // Only with file watching does the server know that the file of an open document was deleted.
    const known = uris.filter((uri) => watches || listed.includes(uri)).sort();
    if (!isDeepStrictEqual(known, listed))
      throw new Difference('the folder', 'workspace/diagnostic', known, listed);
    for (const name of names) {
      const [{ answer }] = await this.alone.about(name, texts, asked);
      const found = this.#reports.get(this.window.uri(name))?.items;
      if (!isDeepStrictEqual(found, answer.items))
        throw new Difference(name, 'workspace/diagnostic', found, answer.items);
    }
  }

  #judge() {
    if (this.client.complaints.length > 0) throw new Error(this.client.complaints.splice(0).join('\n'));
    const memory = this.client.memory() ?? 0;
    if (memory > MOST_MEMORY) throw new Error(`the server holds ${memory.toFixed(0)} MB`);
  }
}

export class Difference extends Error {
  constructor(file, method, found, expected) {
    super(`${file}: ${method}\n${firstDifference(found, expected)}`);
    this.file = file;
    this.method = method;
  }
}

export function same(name, found, expected) {
  for (const [i, { method, params, answer }] of expected.entries()) {
    if (isDeepStrictEqual(found[i]?.answer, answer)) continue;
    const what = `${method} ${JSON.stringify({ ...params, textDocument: undefined, committed: undefined })}`;
    throw new Difference(name, what, found[i]?.answer, answer);
  }
}
