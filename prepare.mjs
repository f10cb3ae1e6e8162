// Builds both packages. npm runs it after `npm ci`, before `npm pack`, and for an installation from a git URL.
import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const npm = (...args) =>
  execFileSync('npm', args, {
    cwd: new URL('./', import.meta.url),
    // The output of `npm pack` is the name of its file, and nothing else.
    stdio: ['ignore', 'ignore', 'inherit'],
    shell: process.platform === 'win32',
  });

// For a global installation from a git URL, npm does not install what the build needs (npm/cli, issue 8440).
if (!existsSync(new URL('node_modules/esbuild', import.meta.url)))
  npm(
    'ci',
    '--global=false',
    '--include=dev',
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
    '--loglevel=error',
  );
npm('run', '--silent', 'build');
