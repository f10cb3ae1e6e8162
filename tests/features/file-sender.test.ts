import { expect, test } from 'vitest';
import { FileSender } from '../../client/file-sender.ts';
import type { SentFile } from '../../server/protocol.ts';

/** A client that keeps what it sends, and a server that can be started and stopped. */
function connection() {
  const [sent, listeners] = [[] as string[], new Set<() => void>()];
  let running = false;
  const turn = (isRunning: boolean) => {
    running = isRunning;
    for (const listener of listeners) listener();
  };
  const client = {
    isRunning: () => running,
    onDidChangeState: (listener: () => void) => {
      listeners.add(listener);
      return { dispose: () => listeners.delete(listener) };
    },
    sendNotification: async (_: unknown, { files }: { files: readonly SentFile[] }) => {
      if (files.some(({ text }) => text === 'refused')) throw new Error('the connection is closed');
      sent.push(files.map(({ uri, text }) => `${uri} ${text}`).join(', '));
    },
  };
  const sender = new FileSender(client as never, async () => file('all', '0'));
  return { sender, sent, turn, listeners };
}

const file = (uri: string, text: string): SentFile[] => [{ uri, text }];
const slowly = (ms: number, files: SentFile[]) => () =>
  new Promise<SentFile[]>((resolve) => setTimeout(() => resolve(files), ms));

test('files reach the server in the order in which they changed, however long each takes to read', async () => {
  const { sender, sent, turn } = connection();
  turn(true);
  const orders = [30, 0, 10, 5].map((ms, i) => sender.send(slowly(ms, file('a', String(i + 1)))));
  await Promise.all(orders);
  expect(sent).toEqual(['all 0', 'a 1', 'a 2', 'a 3', 'a 4']);
});

test('what changes while the server starts is sent when it runs, and then all files once', async () => {
  const { sender, sent, turn } = connection();
  void sender.send(async () => file('a', '1'));
  turn(false);
  expect(sent).toEqual([]);
  turn(true);
  await sender.send(async () => []);
  expect(sent).toEqual(['a 1', 'all 0']);
});

test('a failure or an end of the server stops nothing that comes later', async () => {
  const { sender, sent, turn, listeners } = connection();
  turn(true);
  await sender.send(async () => file('a', 'refused'));
  await sender.send(() => Promise.reject(new Error('unreadable')));
  turn(false);
  await sender.send(async () => file('a', '2'));
  turn(true);
  await sender.send(async () => file('a', '3'));
  expect(sent).toEqual(['all 0', 'all 0', 'a 3']);
  sender.dispose();
  expect(listeners.size).toBe(0);
});
