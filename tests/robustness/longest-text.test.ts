import { expect, test } from 'vitest';
import { MAX_TEXT_LENGTH } from '../../shared/source/source-file.ts';
import { session } from './session.ts';

/** MB. */
const MOST_MEMORY = 1200;

test('the longest text that is not refused is read, in one line and in many', async () => {
  const { client, open } = await session();
  for (const [i, text] of [
    `title: ${'x'.repeat(MAX_TEXT_LENGTH - 10)}\n`,
    `a: [${'1, '.repeat((MAX_TEXT_LENGTH - 10) / 3)}]\n`,
  ].entries()) {
    expect((await open(`${i}.engine.yaml`, text)).length).toBeGreaterThan(0);
  }
  expect(client.memory() ?? 0).toBeLessThan(MOST_MEMORY);
});
