import { describe, expect, test } from 'vitest';
import { CancellationTokenSource, LSPErrorCodes } from 'vscode-languageserver/node';
import { positionIn } from '../bench/client.mjs';
import { completeController, completeEngine } from '../support/command-line.ts';
import { type Session, session } from './session.ts';

const NAME = 'complete.engine.yaml';
const FILES = { [NAME]: completeEngine, 'complete.controller.yaml': completeController };
const METHODS = ['hover', 'completion', 'definition', 'documentHighlight', 'foldingRange', 'documentSymbol'];

/** The outcome of a request: `answered`, or the error code of its refusal. */
async function outcome(answer: Promise<unknown>): Promise<string | number> {
  try {
    await answer;
    return 'answered';
  } catch (error) {
    return (error as { code: number }).code;
  }
}

function question({ client, uri }: Session, i: number, token?: CancellationTokenSource) {
  const text = client.text(uri(NAME))!;
  const position = positionIn(text, (i * 389) % text.length);
  const params = { textDocument: { uri: uri(NAME) }, position };
  return outcome(client.ask(`textDocument/${METHODS[i % METHODS.length]}`, params, token?.token));
}

describe('a storm of requests', () => {
  test('between keystrokes: each is answered, or refused because the text has moved on', async () => {
    const running = await session(FILES);
    const { client, uri, open, hover } = running;
    await open(NAME, completeEngine);
    const at = completeEngine.indexOf('bore: ') + 'bore: '.length;
    let width = completeEngine.slice(at).indexOf(' ');
    const asked: Promise<string | number>[] = [];
    let findings: Promise<unknown> | undefined;
    for (let i = 0; i < 400; i++) {
      if (i % 10 === 0) {
        const bore = String(70 + i / 10);
        findings = client.edit(uri(NAME), at, at + width, bore);
        width = bore.length;
      }
      asked.push(question(running, i));
    }
    const outcomes = new Set(await Promise.all(asked));
    await findings;
    for (const one of outcomes) expect(['answered', LSPErrorCodes.ContentModified]).toContain(one);
    expect(outcomes).toContain('answered');
    expect(await hover(NAME, 'bore: ')).toContain('(π · 109 mm)');
  });

  test('that are all withdrawn is over at once', async () => {
    const running = await session(FILES);
    await running.open(NAME, completeEngine);
    const outcomes = await Promise.all(
      Array.from({ length: 1000 }, (_, i) => {
        const token = new CancellationTokenSource();
        const answer = question(running, i, token);
        token.cancel();
        return answer;
      }),
    );
    const withdrawn = outcomes.filter((one) => one === LSPErrorCodes.RequestCancelled);
    expect(outcomes.filter((one) => one === 'answered').length + withdrawn.length).toBe(1000);
    expect(withdrawn.length).toBeGreaterThan(900);
    expect(await running.hover(NAME, 'bore: ')).toContain('mm');
  });

  test('of openings and closings leaves nothing behind', async () => {
    const { client, uri, open } = await session(FILES);
    await open(NAME, completeEngine);
    await client.close(uri(NAME));
    const before = client.memory();
    for (let i = 0; i < 40; i++) {
      await open(NAME, `${completeEngine}# ${i}\n`);
      await client.close(uri(NAME));
    }
    expect(client.published.get(uri(NAME))).toEqual([]);
    if (before !== undefined) expect(client.memory()!).toBeLessThan(before + 200);
  });
});
