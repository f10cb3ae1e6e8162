import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { onTestFinished } from 'vitest';
import { commandLine } from '../../server/commands/command-line.ts';
import { styleOf } from '../../server/terminal.ts';

export interface Outcome {
  readonly status: number | undefined;
  readonly out: string;
  readonly err: string;
}

/** Runs a command line as `enginewright ARGS` would, 100 columns wide and without colour. */
export async function enginewright(...args: readonly string[]): Promise<Outcome> {
  const written = { out: '', err: '' };
  const status = await commandLine(args, {
    out: (text) => {
      written.out += text;
    },
    err: (text) => {
      written.err += text;
    },
    width: 100,
    style: styleOf(false),
  });
  return { status, ...written };
}

/** A folder with these files, which is deleted after the test. */
export function folderOf(files: Readonly<Record<string, string | Uint8Array>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'enginewright-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  }
  return folder;
}

/** The complete, faultless installation of the fixtures. */
export const completeEngine = fixture('complete.engine.yaml');
export const completeController = fixture('complete.controller.yaml');

function fixture(name: string): string {
  return readFileSync(new URL(`../fixtures/${name}`, import.meta.url), 'utf8');
}
