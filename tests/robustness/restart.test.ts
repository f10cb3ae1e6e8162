import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { completeController, completeEngine } from '../support/command-line.ts';
import { sayings, session } from './session.ts';

const NAME = 'complete.engine.yaml';
const FILES = { [NAME]: completeEngine, 'complete.controller.yaml': completeController };
const TYPED = completeEngine.replace('static_flow: 340', 'static_flow: 120');

describe('a server that ends', () => {
  test('in the middle of its work leaves every file as it was, and the next one says the same of the same text', async () => {
    const first = await session(FILES);
    const expected = sayings(await first.open(NAME, TYPED));
    expect(expected.length).toBeGreaterThan(0);
    const at = TYPED.indexOf('static_flow');
    void first.client.edit(first.uri(NAME), at, at, '# ').catch(() => {});
    first.client.process.kill('SIGKILL');
    await first.client.ended;
    expect(readdirSync(first.folder).sort()).toEqual(Object.keys(FILES).sort());
    for (const [name, text] of Object.entries(FILES)) {
      expect(readFileSync(join(first.folder, name), 'utf8')).toBe(text);
    }
    const next = await session(FILES);
    expect(sayings(await next.open(NAME, TYPED))).toEqual(expected);
  });

  test('does so by itself when its editor has gone', async () => {
    const { client, open } = await session(FILES);
    await open(NAME, TYPED);
    client.process.stdin!.end();
    await client.ended;
    expect(client.process.signalCode).toBeNull();
  });

  test('when asked to has nothing to complain of', async () => {
    const { client, open } = await session(FILES);
    await open(NAME, TYPED);
    await client.stop();
    expect(client.process.exitCode).toBe(0);
  });
});
