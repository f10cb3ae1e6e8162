import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { folderOf } from '../support/command-line.ts';
import { engines, install, programIn, start } from '../support/installed.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));

test.each([
  ['in a folder', []],
  // As pre-commit does it.
  ['globally', ['--global', '--install-links']],
])(
  'an installation from a git URL %s is built and contains the program',
  async (_, options) => {
    const clone = folderOf({});
    const git = (cwd: string, ...args: string[]) =>
      execFileSync('git', ['-c', 'user.name=a', '-c', 'user.email=a@b', ...args], { cwd, encoding: 'utf8' });
    // As committed, but with the changes that are not committed yet.
    for (const name of git(root, 'ls-files', '-co', '--exclude-standard', '-z').split('\0').filter(Boolean)) {
      if (!existsSync(join(root, name))) continue;
      mkdirSync(dirname(join(clone, name)), { recursive: true });
      cpSync(join(root, name), join(clone, name));
    }
    git(clone, 'init', '--quiet');
    git(clone, 'add', '--all');
    git(clone, 'commit', '--quiet', '--message', 'As it is');
    const folder = engines();
    const place = options.length > 0 ? ['--prefix', folder] : [];
    const url = `git+${pathToFileURL(clone)}`;
    const { status, out } = await install(folder, '--prefer-offline', ...options, ...place, url);
    expect(status, out).toBe(0);
    const program = options.length > 0 ? join(folder, 'bin/enginewright') : programIn(folder);
    expect((await start(program, ['check', 'good.engine.yaml'], folder)).status).toBe(0);
    expect((await start(program, ['check', 'bad.engine.yaml'], folder)).status).toBe(1);
  },
  600_000,
);
