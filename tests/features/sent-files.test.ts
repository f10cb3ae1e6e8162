import { PassThrough } from 'node:stream';
import { expect, onTestFinished, test } from 'vitest';
import {
  createConnection,
  createProtocolConnection,
  type DocumentDiagnosticReport,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import type { SentFile } from '../../server/protocol.ts';
import { serve } from '../../server/server.ts';
import type { Disk } from '../../server/texts.ts';
import { completeController, completeEngine } from '../support/command-line.ts';

const SHOP = 'memory:/shop';
const ENGINE = `${SHOP}/a.engine.yaml`;
const CONTROLLER = `${SHOP}/complete.controller.yaml`;

/** An editor that sends files, and the messages of the findings of a document. */
async function editor(files: readonly SentFile[], disk?: Disk) {
  const [toServer, toEditor] = [new PassThrough(), new PassThrough()];
  serve(
    (options) =>
      createConnection(new StreamMessageReader(toServer), new StreamMessageWriter(toEditor), options),
    disk,
  );
  const wire = createProtocolConnection(new StreamMessageReader(toEditor), new StreamMessageWriter(toServer));
  const missing: string[] = [];
  wire.onNotification('enginewright/missing', ({ uris }: { uris: string[] }) => {
    missing.push(...uris);
  });
  wire.listen();
  await wire.sendRequest('initialize', {
    processId: null,
    rootUri: null,
    workspaceFolders: [{ uri: SHOP, name: 'shop' }],
    capabilities: { textDocument: { diagnostic: {} } },
    initializationOptions: { files },
  });
  await wire.sendNotification('initialized', {});
  onTestFinished(async () => {
    await wire.sendRequest('shutdown');
    wire.dispose();
  });
  return {
    missing,
    open: (uri: string, text: string) =>
      wire.sendNotification('textDocument/didOpen', {
        textDocument: { uri, text, languageId: 'yaml', version: 1 },
      }),
    send: (...sent: SentFile[]) => wire.sendNotification('enginewright/files', { files: sent }),
    findings: async (uri: string) => {
      const params = { textDocument: { uri } };
      const report = await wire.sendRequest<DocumentDiagnosticReport>('textDocument/diagnostic', params);
      return 'items' in report ? report.items.map(({ code }) => code) : [];
    },
  };
}

const controller = { uri: CONTROLLER, text: completeController };
const MISSING = 'controller-file-missing';

test('a file that the editor sends is used, and no disk is needed', async () => {
  const { open, findings, missing } = await editor([controller]);
  await open(ENGINE, completeEngine);
  expect(await findings(ENGINE)).not.toContain(MISSING);
  expect(missing).toEqual([]);
});

test('a file that is deleted and created again is missed and found', async () => {
  const { open, findings, send } = await editor([controller]);
  await open(ENGINE, completeEngine);
  await send({ uri: CONTROLLER, text: null });
  expect(await findings(ENGINE)).toContain(MISSING);
  await send(controller);
  expect(await findings(ENGINE)).not.toContain(MISSING);
});

test('a file that was not sent is asked for, once', async () => {
  const { open, findings, send, missing } = await editor([]);
  await open(ENGINE, completeEngine);
  expect(await findings(ENGINE)).toContain(MISSING);
  expect(missing).toEqual([CONTROLLER]);
  await send({ uri: CONTROLLER, text: null });
  expect(await findings(ENGINE)).toContain(MISSING);
  await send(controller);
  expect(await findings(ENGINE)).not.toContain(MISSING);
  expect(missing).toEqual([CONTROLLER]);
});

test('files on disk are read from there, those of other file systems never', async () => {
  const read: string[] = [];
  const disk: Disk = {
    read: (path) => {
      read.push(path);
      return path.endsWith('complete.controller.yaml') ? completeController : undefined;
    },
  };
  const { open, findings } = await editor([controller], disk);
  await open(ENGINE, completeEngine);
  expect(await findings(ENGINE)).not.toContain(MISSING);
  expect(read).toEqual([]);
  await open('file:///elsewhere/a.engine.yaml', completeEngine);
  await findings('file:///elsewhere/a.engine.yaml');
  expect(read.every((path) => path.startsWith('/elsewhere/'))).toBe(true);
});
