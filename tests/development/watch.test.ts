import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));
const sample = join(root, 'samples/dotterel/dotterel-16t.engine.yaml');

const built = mkdtempSync(join(tmpdir(), 'enginewright-watch-'));
let watching: ChildProcess;
const said: string[] = [];

beforeAll(async () => {
  watching = spawn(process.execPath, ['esbuild.mjs', '--watch', '--outdir', built], { cwd: root });
  for await (const line of createInterface(watching.stdout!)) {
    said.push(line);
    if (line.startsWith('Built')) break;
  }
});
afterAll(async () => {
  watching.kill();
  await once(watching, 'close');
  rmSync(built, { recursive: true });
});

test('the build for development says when it begins and ends, as the task of the editor expects', () => {
  expect(said).toEqual(['Building.', 'Built.']);
  const tasks = JSON.parse(readFileSync(join(root, '.vscode/tasks.json'), 'utf8')).tasks;
  const { beginsPattern, endsPattern } = tasks[0].problemMatcher.background;
  expect(said[0]).toMatch(new RegExp(beginsPattern));
  expect(said[1]).toMatch(new RegExp(endsPattern));
});

describe('the source map', () => {
  const bundles = [
    'client.cjs',
    'server.cjs',
    'program.cjs',
    'enginewright.cjs',
    'map-panel.js',
    'installation-panel.js',
    'run-panel.js',
    'memory-panel.js',
  ];

  test('is that of every program', () => {
    expect(
      readdirSync(built)
        .filter((name) => /\.c?js$/.test(name))
        .sort(),
    ).toEqual(bundles.sort());
  });

  test.each(bundles)('of %s is linked, and its sources are files', (name) => {
    const link = /\n\/\/# sourceMappingURL=(.+)\n$/.exec(readFileSync(join(built, name), 'utf8'))?.[1];
    const map = new URL(link!, pathToFileURL(join(built, name)));
    const { sources }: { sources: string[] } = JSON.parse(readFileSync(map, 'utf8'));
    // A package may name sources that it does not contain.
    const own = sources.filter((source) => !source.includes('/node_modules/'));
    expect(own.length).toBeGreaterThan(0);
    expect(own.filter((source) => !existsSync(new URL(source, map)))).toEqual([]);
  });
});

/** The number of the only line of a source that is this text, from 1. */
function lineOf(source: string, text: string): number {
  const lines = readFileSync(join(root, source), 'utf8').split('\n');
  expect(lines.filter((line) => line.trim() === text)).toHaveLength(1);
  return lines.findIndex((line) => line.trim() === text) + 1;
}

test.each([
  ['enginewright.cjs', 'program.cjs', 'server/commands/command-line.ts', 'const entry = listed(first);'],
  [
    'enginewright.cjs',
    'program.cjs',
    'shared/analysis.ts',
    'const installation = trackedInstallation(readInstallation(project, file));',
  ],
  ['server.cjs', 'server.cjs', 'server/main.ts', 'optimizeLate();'],
])(
  'a program that is started as %s stops at a line of TypeScript in %s: %s',
  (program, bundle, source, text) => {
    const line = lineOf(source, text);
    const args = program === 'server.cjs' ? ['--stdio'] : ['check', sample];
    const stopAt = fileURLToPath(new URL('stop-at.mjs', import.meta.url));
    const command = [
      stopAt,
      join(built, program),
      join(built, bundle),
      join(root, source),
      String(line),
      ...args,
    ];
    const { stderr } = spawnSync(process.execPath, command, { input: '', encoding: 'utf8' });
    expect(stderr).toBe(JSON.stringify({ source: String(pathToFileURL(join(root, source))), line }));
  },
);
