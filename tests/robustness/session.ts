import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { onTestFinished } from 'vitest';
import { type Diagnostic, FileChangeType } from 'vscode-languageserver/node';
import { EditorClient } from '../bench/client.mjs';
import { buildIfStale } from '../build.mjs';
import { folderOf } from '../support/command-line.ts';

/** Files on disk and the built server, started as by an editor. */
export interface Session {
  readonly folder: string;
  readonly client: EditorClient;
  uri(name: string): string;
  /** Opens a file with its text on disk or another one, and returns its findings. */
  open(name: string, text: string): Promise<Diagnostic[]>;
  /** Writes or deletes a file on disk and notifies the server, like an editor that watches files. */
  onDisk(name: string, text: string | undefined): Promise<void>;
  hover(name: string, what: string): Promise<string>;
}

interface Options {
  /** The folders open in the window, relative to the folder of the files. */
  readonly folders?: readonly string[];
  readonly settings?: () => unknown;
}

/** Everything is deleted after the test. Any error that the server reports fails the test. */
export async function session(
  files: Readonly<Record<string, string>> = {},
  { folders = ['.'], settings = () => ({}) }: Options = {},
): Promise<Session> {
  const folder = folderOf(files);
  const uri = (name: string) => pathToFileURL(join(folder, name)).href;
  const client = new EditorClient([buildIfStale(), 'serve', '--stdio'], {
    folders: folders.map(uri),
    settings,
  });
  onTestFinished(async () => {
    if (client.process.exitCode === null && client.process.signalCode === null) await client.stop();
    if (client.complaints.length > 0) throw new Error(client.complaints.join('\n'));
  });
  await client.start();
  return {
    folder,
    client,
    uri,
    open: (name, text) => client.open(uri(name), text),
    onDisk(name, text) {
      if (text === undefined) rmSync(join(folder, name), { recursive: true });
      else writeFileSync(join(folder, name), text);
      const type = text === undefined ? FileChangeType.Deleted : FileChangeType.Changed;
      return client.tell('workspace/didChangeWatchedFiles', { changes: [{ uri: uri(name), type }] });
    },
    async hover(name, what) {
      const lines = client.text(uri(name))!.split('\n');
      const line = lines.findIndex((one) => one.includes(what));
      const position = { line, character: lines[line]!.indexOf(what) };
      return JSON.stringify(
        await client.ask('textDocument/hover', { textDocument: { uri: uri(name) }, position }),
      );
    },
  };
}

/** The message of each finding with the id of its check. */
export const sayings = (found: readonly Diagnostic[]): string[] =>
  found.map(({ code, message }) => `${code}: ${message}`);
