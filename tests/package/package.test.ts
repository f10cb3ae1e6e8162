import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildIfStale } from '../build.mjs';
import { folderOf } from '../support/command-line.ts';
import { engines, install, installedIn, programIn, start } from '../support/installed.ts';

const root = dirname(dirname(buildIfStale()));

/** In bytes, when unpacked. */
const LARGEST = 3_000_000;

const SLOW = { timeout: 300_000 };

interface Packed {
  readonly filename: string;
  readonly unpackedSize: number;
  readonly files: readonly { readonly path: string }[];
}

describe('the npm package', SLOW, () => {
  const folder = mkdtempSync(join(tmpdir(), 'enginewright-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  let packed: Packed;
  let tarball: string;
  beforeAll(async () => {
    // `dist/` is up to date; building it again would disturb other tests.
    const args = ['pack', '--json', '--loglevel=silent', '--ignore-scripts', '--pack-destination', folder];
    [packed] = JSON.parse((await start('npm', args, root)).out) as [Packed];
    tarball = join(folder, packed.filename);
  }, SLOW.timeout);

  test('contains the program, its documentation and the licences, and nothing else', () => {
    expect(packed.files.map(({ path }) => path).sort()).toEqual([
      'CHANGELOG.md',
      'LICENSE',
      'README.md',
      'dist/LICENSES.txt',
      'dist/enginewright.cjs',
      'dist/program.cjs',
      'docs/checks.md',
      'docs/protocol.md',
      'package.json',
      'schemas/controller.schema.json',
      'schemas/engine.schema.json',
      'schemas/run.schema.json',
    ]);
    expect(packed.unpackedSize).toBeLessThan(LARGEST);
  });

  test('fetches nothing when it is installed, and runs', async () => {
    const folder = engines();
    const cache = folderOf({});
    expect((await install(folder, '--offline', '--cache', cache, tarball)).status).toBe(0);
    expect(installedIn(folder)).toEqual(['enginewright']);
    expect((await start(programIn(folder), ['check', 'good.engine.yaml'], folder)).status).toBe(0);
    const { status, out } = await start(programIn(folder), ['check', '.'], folder);
    expect({ status, out }).toEqual({ status: 1, out: expect.stringContaining('injector-duty-over-100') });
    const serve = await start(programIn(folder), ['serve'], folder);
    expect(serve.out).toContain("'serve' needs '--stdio'");
  });

  test('runs with npx from a folder that contains nothing but YAML', async () => {
    const folder = engines();
    const cache = folderOf({});
    const args = ['--yes', '--offline', '--cache', cache, '--package', tarball];
    expect((await start('npx', [...args, 'enginewright', 'check', 'good.engine.yaml'], folder)).status).toBe(
      0,
    );
    expect(existsSync(join(folder, 'node_modules'))).toBe(false);
  });
});

/** In bytes, compressed. What only some requests need belongs beside it, as the pages of the checks are. */
const LARGEST_WORKER = 450_000;

test('the server for browsers does not grow unnoticed', () => {
  const script = readFileSync(join(root, 'dist/web/server.js'));
  expect(gzipSync(script, { level: 9 }).length).toBeLessThan(LARGEST_WORKER);
});

test('no package has to be fetched beside it, and none is published by mistake', () => {
  const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const { dependencies, peerDependencies, optionalDependencies, private: isPrivate } = manifest;
  expect({ dependencies, peerDependencies, optionalDependencies }).toEqual({});
  expect(isPrivate).toBe(true);
});
