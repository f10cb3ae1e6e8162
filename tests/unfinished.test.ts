import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const ROOT = new URL('../', import.meta.url);
const WORD = /\bTODO\b/;
/** Tests that are about this word. */
const ABOUT_IT = ['tests/unfinished.test.ts', 'tests/development/new.test.ts'];

/** Every line in a folder that is marked as unfinished. */
function* unfinishedIn(folder: string): Generator<string> {
  for (const name of readdirSync(new URL(`${folder}/`, ROOT), { recursive: true, encoding: 'utf8' })) {
    const path = `${folder}/${name.replaceAll('\\', '/')}`;
    if (!/\.(?:ts|mjs|json|yaml|css)$/.test(name) || ABOUT_IT.includes(path)) continue;
    const lines = readFileSync(new URL(path, ROOT), 'utf8').split('\n');
    for (const [i, line] of lines.entries()) if (WORD.test(line)) yield `${path}:${i + 1}: ${line.trim()}`;
  }
}

test.each(['shared', 'server', 'client', 'schemas', 'samples', 'tests'])(
  'nothing in %s waits to be written',
  (folder) => {
    expect([...unfinishedIn(folder)]).toEqual([]);
  },
);
