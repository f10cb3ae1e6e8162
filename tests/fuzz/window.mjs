// A window of an editor with several open files, and the files on disk: what each step does to the server and to them.
import { renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { positionIn } from '../bench/client.mjs';
import { changeOf, edited, referenceTo, WHERE } from '../support/family.mjs';
import { uriIn } from './alone.mjs';
import { randomEdit } from './edits.mjs';
import { randomOf } from './random.mjs';

/** @typedef {{ does: string, file: number, pick: number, digit: number, where: string }} Step all choices as numbers */

/** The kinds of steps, as often as they should occur. */
const DOES = [
  ...['edit', 'edit', 'edit', 'edit', 'edit', 'edit', 'write', 'write', 'write', 'save', 'spoil', 'undo'],
  ...['open', 'open', 'open', 'close', 'close', 'delete', 'restore', 'restore', 'rename', 'touch', 'ask'],
];

/** The window closes a document if more than this many are open. */
const MOST_OPEN = 4;
const CHANGED = 2;
const CREATED = 1;
const DELETED = 3;

/** @returns {Step} */
export function randomStep(random) {
  return {
    does: random.pick(DOES),
    file: random.below(10_000),
    pick: random.below(10_000),
    digit: random.below(10),
    where: random.pick(WHERE),
  };
}

export class Window {
  /** By name, the texts in the editor and those on disk. */
  open = new Map();
  disk = new Map();
  /** Changes on disk that the server has not been told about yet. */
  #events = [];
  /** Requests that have not been awaited. */
  #asked = [];

  constructor(folder, client) {
    this.folder = folder;
    this.client = client;
  }

  /** The effective texts: those in the editor take precedence over those on disk. */
  get texts() {
    return new Map([...this.disk, ...this.open]);
  }

  /** Replaces the files on disk by a family and opens the first two. The editor may or may not watch files. */
  begin(family, watches) {
    this.watches = true;
    for (const name of [...this.open.keys()]) this.#close(name);
    for (const name of [...this.disk.keys()]) if (!family.has(name)) this.#delete(name);
    for (const [name, text] of family) this.#write(name, text);
    this.family = family;
    for (const name of [...family.keys()].slice(0, 2)) this.#open(name);
    this.flush();
    this.watches = watches;
  }

  /** Takes one step, if possible, and sends what an editor would send. */
  take(step) {
    const names = [...new Set([...this.family.keys(), ...this.texts.keys()])].sort();
    const open = [...this.open.keys()];
    const name = names[step.file % names.length];
    const document = open[step.file % open.length];
    const references = (from) => names.map((other) => referenceTo(other, from));
    switch (step.does) {
      case 'edit':
        return document && this.#edit(document, (text) => changeOf(text, step, references(document)));
      case 'spoil':
        return document && this.#edit(document, (text) => randomEdit(text, randomOf(step.pick)));
      case 'undo':
        return document && this.#edit(document, (text) => this.#whole(document, text));
      case 'save':
        return document && this.#write(document, this.open.get(document));
      case 'write': {
        const text = this.disk.get(name);
        return text !== undefined && this.#write(name, edited(text, changeOf(text, step, references(name))));
      }
      case 'restore':
        return this.#write(name, this.family.get(name) ?? this.texts.get(name));
      case 'delete':
        return this.disk.has(name) && this.disk.size > 2 && this.#delete(name);
      case 'touch':
        return this.#event(name, this.disk.has(name) ? CHANGED : DELETED);
      case 'open':
        return this.disk.has(name) && !this.open.has(name) && this.#open(name);
      case 'close':
        return document && this.#close(document);
      case 'rename':
        return this.disk.has(name) && this.#rename(name, step);
      case 'ask':
        return document && this.#ask(document, step);
    }
  }

  /** Reports changes on disk to the server, as an editor may do at any time. */
  flush() {
    const changes = this.#events.splice(0);
    if (changes.length > 0 && this.watches) this.client.tell('workspace/didChangeWatchedFiles', { changes });
  }

  /** Reports all changes and waits for all answers. */
  async settle() {
    this.flush();
    await Promise.all(this.#asked.splice(0));
  }

  uri(name) {
    return uriIn(this.folder, name);
  }

  #open(name) {
    if (this.open.size >= MOST_OPEN) this.#close([...this.open.keys()][0]);
    this.open.set(name, this.disk.get(name));
    this.client.open(this.uri(name), this.disk.get(name));
  }

  #close(name) {
    this.open.delete(name);
    this.client.close(this.uri(name));
  }

  #edit(name, editOf) {
    const before = this.open.get(name);
    const edit = editOf(before);
    this.client.send(this.uri(name), [this.client.change(this.uri(name), edit)]);
    this.open.set(name, edited(before, edit));
  }

  /** Replaces the whole text by the one that the family began with. */
  #whole(name, text) {
    return { start: 0, end: text.length, text: this.family.get(name) ?? text };
  }

  #write(name, text) {
    const bytes = Buffer.from(text);
    this.#event(name, this.disk.has(name) ? CHANGED : CREATED);
    // Writing changes half a surrogate pair, and reading drops a byte order mark.
    this.disk.set(name, new TextDecoder().decode(bytes));
    writeFileSync(join(this.folder, name), bytes);
  }

  #delete(name) {
    this.#event(name, DELETED);
    this.disk.delete(name);
    rmSync(join(this.folder, name));
  }

  /** As in an editor, the document is closed under the old name and opened under the new one. */
  #rename(name, { pick, digit }) {
    const kind = name.includes('.engine.') ? 'engine' : 'controller';
    const free = [...this.family.keys(), `moved.${kind}.yaml`, `below/moved.${kind}.yaml`].filter(
      (other) => other.includes(`.${kind}.`) && !this.disk.has(other) && !this.open.has(other),
    );
    const to = free[pick % free.length];
    if (!to) return;
    const text = this.open.get(name);
    if (text !== undefined) this.#close(name);
    const isEarly = digit % 2 === 0;
    if (isEarly && text !== undefined) this.#openAs(to, text);
    renameSync(join(this.folder, name), join(this.folder, to));
    this.disk.set(to, this.disk.get(name));
    this.disk.delete(name);
    this.#event(name, DELETED);
    this.#event(to, CREATED);
    if (!isEarly && text !== undefined) this.#openAs(to, text);
  }

  #openAs(name, text) {
    this.open.set(name, text);
    this.client.open(this.uri(name), text);
  }

  #ask(name, { pick, where }) {
    const text = this.open.get(name);
    const position = positionIn(text, pick % (text.length + 1));
    const method = METHODS[where.length % METHODS.length];
    const params = {
      textDocument: { uri: this.uri(name) },
      position,
      range: { start: position, end: position },
    };
    // It may be refused because the text has changed.
    this.#asked.push(this.client.ask(method, params).catch(() => {}));
  }

  #event(name, type) {
    this.#events.push({ uri: this.uri(name), type });
  }
}

const METHODS = [
  ...['textDocument/hover', 'textDocument/codeLens', 'textDocument/inlayHint', 'textDocument/completion'],
  ...['textDocument/definition', 'enginewright/installationView', 'textDocument/documentSymbol'],
];
