// The answers of a server that has seen only one file and the files that it uses.
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { pathToFileURL } from 'node:url';
import { EditorClient, ProtocolClient } from '../bench/client.mjs';
import { buildIfStale } from '../build.mjs';
import { freshProgram } from '../support/fresh.mjs';
import { answersAbout, answersAmong } from './window-questions.mjs';

const fresh = await freshProgram('tests/fuzz/alone.ts');

/** @typedef {ReadonlyMap<string, string>} Texts by the names of files in the folder */

/** The answers of fresh servers. Each server evaluates its modules again, so it shares no state with the others. */
export class Alone {
  /** For each file name, the answers about that file and every text that was read for them. */
  #known = new Map();
  made = 0;

  /** `folders` are the URIs of the folders open in the window. */
  constructor(folder, folders) {
    this.folder = folder;
    this.folders = folders;
  }

  /** Drops the answers about earlier families. */
  clear() {
    this.#known.clear();
  }

  /** Answers that depend only on a file, its base files and its controller file. The server can read no others. */
  async about(name, texts, asked) {
    const known = this.#known.get(name) ?? [];
    const same = known.find(({ reads }) => [...reads].every(([read, text]) => texts.get(read) === text));
    if (same) return same.answers;
    const reads = new Map([[name, texts.get(name)]]);
    const answers = await this.#served([name], texts, reads, [], (client) =>
      answersAbout(client, this.folder, name, texts, asked),
    );
    this.#known.set(name, [...known.slice(-3), { reads, answers }]);
    return answers;
  }

  /** Answers about the open files that depend on all files. */
  among(open, texts, asked) {
    return this.#served(open, texts, new Map(), [...texts.keys()], (client) =>
      answersAmong(client, this.folder, open, texts, asked),
    );
  }

  async #served(open, texts, reads, listed, ask) {
    const [toServer, toEditor] = [new PassThrough(), new PassThrough()];
    const pathOf = (name) => join(this.folder, name);
    const nameOf = (path) => path.slice(this.folder.length + 1);
    const read = (path) => {
      reads.set(nameOf(path), texts.get(nameOf(path)));
      return texts.get(nameOf(path));
    };
    fresh().serveStreams(toServer, toEditor, { read, list: () => listed.map(pathOf) });
    const client = new ProtocolClient(toEditor, toServer, { folders: this.folders });
    this.made += 1;
    try {
      await client.start();
      for (const name of open) await client.open(uriIn(this.folder, name), texts.get(name));
      return await ask(client);
    } finally {
      await client.ask('shutdown');
      client.wire.dispose();
    }
  }
}

export const uriIn = (folder, name) => pathToFileURL(join(folder, name)).href;

/**
 * The same answers from a separate process, which finds only these files on disk. It takes a hundred times as long, and
 * is used now and then to verify `Alone`. URIs are rewritten as if the files were in `folder`.
 */
export async function inProcess(name, texts, folder, hasFolder, asked) {
  const own = realpathSync(mkdtempSync(join(tmpdir(), 'enginewright-fuzz-')));
  const folders = hasFolder ? [pathToFileURL(own).href] : [];
  const client = new EditorClient([buildIfStale(), 'serve', '--stdio'], { folders });
  try {
    mkdirSync(join(own, 'below'));
    for (const [other, text] of texts) writeFileSync(join(own, other), text);
    await client.start();
    await client.open(uriIn(own, name), texts.get(name));
    const answers = await answersAbout(client, own, name, texts, asked);
    return JSON.parse(JSON.stringify(answers).replaceAll(own, folder));
  } finally {
    await client.stop();
    rmSync(own, { recursive: true });
  }
}
