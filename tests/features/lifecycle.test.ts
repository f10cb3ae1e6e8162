import { describe, expect, test } from 'vitest';
import { ErrorCodes } from 'vscode-languageserver/node';
import { ENGINE, FakeEditor } from './fake-editor.ts';

const HOVER = { textDocument: { uri: ENGINE }, position: { line: 0, character: 10 } };
const TEXT = 'engine: { bore: 84 mm }\n';

/** The error code of a refused request, or the answer. */
async function refusal(answer: Promise<unknown>): Promise<unknown> {
  try {
    return await answer;
  } catch (error) {
    return (error as { code: number }).code;
  }
}

describe('before it is initialized, the server', () => {
  test.each(['textDocument/hover', 'enginewright/checkPage', 'no/such/request', 'shutdown'])(
    'refuses %s, and works afterwards',
    async (method) => {
      const fake = new FakeEditor();
      expect(await refusal(fake.ask(method, HOVER))).toBe(ErrorCodes.ServerNotInitialized);
      await fake.start();
      await fake.open(TEXT);
      expect(JSON.stringify(await fake.ask('textDocument/hover', HOVER))).toContain('Bore');
      await fake.stop();
    },
  );

  test('ignores what it is told', async () => {
    const fake = new FakeEditor();
    await fake.open(TEXT);
    await fake.start();
    expect(await fake.ask('textDocument/hover', HOVER)).toBeNull();
    await fake.stop();
  });
});

test('the server is initialized once', async () => {
  const fake = new FakeEditor();
  await fake.start();
  expect(await refusal(fake.start())).toBe(ErrorCodes.InvalidRequest);
  await fake.stop();
});

test('after it was shut down, the server refuses every request', async () => {
  const fake = new FakeEditor();
  await fake.start();
  await fake.open(TEXT);
  await fake.ask('shutdown', {});
  for (const method of ['textDocument/hover', 'no/such/request', 'shutdown', 'initialize']) {
    expect(await refusal(fake.ask(method, HOVER)), method).toBe(ErrorCodes.InvalidRequest);
  }
  fake.dispose();
});
