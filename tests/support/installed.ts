import { execFile } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { completeController, completeEngine, folderOf } from './command-line.ts';

interface Outcome {
  readonly status: number;
  /** Both outputs. */
  readonly out: string;
}

/** Runs a program to its end. */
export function start(program: string, args: readonly string[], cwd: string): Promise<Outcome> {
  return new Promise((resolve) => {
    execFile(program, args, { cwd, shell: process.platform === 'win32' }, (error, stdout, stderr) =>
      resolve({ status: error ? Number(error.code) : 0, out: stdout + stderr }),
    );
  });
}

/** Installs a package in a folder, without messages about other things. */
export function install(folder: string, ...args: string[]): Promise<Outcome> {
  const quiet = ['--no-audit', '--no-fund', '--no-update-notifier', '--loglevel=error'];
  return start('npm', ['install', ...quiet, ...args], folder);
}

/** A folder with a controller file and two engine files, one of them with an error, and nothing else. */
export function engines(): string {
  return folderOf({
    'complete.controller.yaml': completeController,
    'good.engine.yaml': completeEngine,
    'bad.engine.yaml': completeEngine.replace('static_flow: 340', 'static_flow: 120'),
  });
}

/** The packages installed in a folder. */
export const installedIn = (folder: string): string[] =>
  readdirSync(join(folder, 'node_modules')).filter((name) => !name.startsWith('.'));

/** The program installed in a folder. */
export const programIn = (folder: string): string => join(folder, 'node_modules/.bin/enginewright');
