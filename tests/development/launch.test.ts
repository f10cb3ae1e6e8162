import { existsSync, readFileSync } from 'node:fs';
import { formatMessages } from 'esbuild';
import { describe, expect, test } from 'vitest';
import { debugArguments, debugPort } from '../../client/debug-port.ts';
import manifest from '../../package.json';

const root = new URL('../../', import.meta.url);
const read = (path: string) => JSON.parse(readFileSync(new URL(path, root), 'utf8'));

interface Configuration {
  readonly name: string;
  readonly program?: string;
  readonly port?: number;
  readonly preLaunchTask: string;
}

const {
  configurations,
  compounds,
}: { configurations: Configuration[]; compounds: { configurations: string[] }[] } =
  read('.vscode/launch.json');
const [watch] = read('.vscode/tasks.json').tasks;

describe('the launch configurations', () => {
  test('name tasks that there are', () => {
    expect(manifest.scripts).toHaveProperty(watch.script);
    const tasks = [watch.label, ...Object.keys(manifest.scripts).map((script) => `npm: ${script}`)];
    for (const { name, preLaunchTask } of configurations) expect(tasks, name).toContain(preLaunchTask);
  });

  test('name each other, and the port that the server opens', () => {
    const names = configurations.map(({ name }) => name);
    for (const compound of compounds) expect(names).toEqual(expect.arrayContaining(compound.configurations));
    const ports = configurations.flatMap(({ port }) => port ?? []);
    expect(ports).toEqual([debugPort(true, {})]);
  });

  test('start a test with the runner that is installed', () => {
    const programs = configurations.flatMap(({ program }) => program?.slice(program.indexOf('/') + 1) ?? []);
    const [runner] = programs.filter((program) => program.startsWith('node_modules/'));
    expect(existsSync(new URL(runner!, root))).toBe(true);
  });
});

test('the task finds an error of the build as esbuild prints it', async () => {
  const location = { file: 'server/command.ts', line: 26, column: 13 };
  const [printed] = await formatMessages([{ text: 'Unexpected "="', location }], { kind: 'error' });
  const patterns: { regexp: string }[] = watch.problemMatcher.pattern;
  const found = patterns.flatMap(({ regexp }, i) =>
    new RegExp(regexp).exec(printed!.split('\n')[i]!)?.slice(1),
  );
  expect(found).toEqual(['ERROR', 'Unexpected "="', 'server/command.ts', '26', '13']);
});

describe('the debug port of the language server', () => {
  test.each([
    [false, {}, undefined],
    [true, {}, 6009],
    [false, { ENGINEWRIGHT_DEBUG_PORT: '6010' }, 6010],
    [true, { ENGINEWRIGHT_DEBUG_PORT: '6010' }, 6010],
    [true, { ENGINEWRIGHT_DEBUG_PORT: '' }, undefined],
    [false, { ENGINEWRIGHT_DEBUG_PORT: '0.0.0.0:6010' }, undefined],
    [false, { ENGINEWRIGHT_DEBUG_PORT: '65536' }, undefined],
  ])('under development: %j, environment %j: %j', (isDevelopment, environment, port) => {
    expect(debugPort(isDevelopment, environment)).toBe(port);
  });

  test('is open to this machine alone', () => {
    expect(debugArguments(undefined)).toEqual([]);
    expect(debugArguments(6009)).toEqual(['--inspect=127.0.0.1:6009']);
  });
});
