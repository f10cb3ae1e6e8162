import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { driven, picture, shown } from './driver.ts';
import {
  checkOf,
  closeFiles,
  enginewright,
  hoverText,
  openFile,
  pause,
  select,
  setText,
  until,
  waitForDiagnostics,
} from './helpers.ts';

const FILE = 'first.engine.yaml';
const typed = (bore: number) => `enginefile: 1\nengine: { bore: ${bore} mm, stroke: 55 mm }\nboar: 1\n`;

/** The server process of this window. */
function serverProcess(): number | undefined {
  const lines = execFileSync('ps', ['-A', '-o', 'pid=,ppid=,args='], { encoding: 'utf8' }).split('\n');
  const found = lines
    .map((line) => /^\s*(\d+)\s+(\d+)\s+(.*)$/.exec(line))
    .find((line) => line && Number(line[2]) === process.pid && line[3]!.includes('server.cjs'));
  return found ? Number(found[1]) : undefined;
}

/** Waits until another server has replaced one that was killed. */
async function isReplaced(killed: number): Promise<void> {
  const next = await until('another server process', () => {
    const found = serverProcess();
    return found !== killed && enginewright().exports.serverRunning ? found : undefined;
  });
  assert.notEqual(next, killed);
}

/** The editor has the unsaved text, and the new server answers about it and about further typing. */
async function isServed(editor: vscode.TextEditor, bore: number): Promise<void> {
  const { document } = editor;
  assert.equal(document.getText(), typed(bore));
  assert.equal(document.isDirty, true);
  await setText(editor, typed(bore + 1));
  await waitForDiagnostics(document, (found) => found.some((one) => checkOf(one) === 'unknown-key'));
  await until('an answer about the new text', async () =>
    (await hoverText(document, 'bore')).includes(`${bore + 1} mm`),
  );
}

suite('When the language server ends', () => {
  teardown(closeFiles);

  test('killed, it comes back by itself, and no text is lost', async function () {
    if (process.platform === 'win32') this.skip();
    const editor = await openFile(FILE);
    await setText(editor, typed(80));
    await waitForDiagnostics(editor.document, (found) => found.some((one) => checkOf(one) === 'unknown-key'));
    const killed = await until('a server process', serverProcess);
    process.kill(killed, 'SIGKILL');
    await isReplaced(killed);
    await isServed(editor, 80);
  });

  test('killed while it is asked many things, it comes back all the same', async function () {
    if (process.platform === 'win32') this.skip();
    const editor = await openFile(FILE);
    await setText(editor, typed(70));
    await waitForDiagnostics(editor.document, (found) => found.some((one) => checkOf(one) === 'unknown-key'));
    const killed = await until('a server process', serverProcess);
    process.kill(killed, 'SIGKILL');
    // All of this is requested from a server that is gone, before this process can notice that.
    const gone = Date.now() + 500;
    while (Date.now() < gone);
    await Promise.allSettled(
      Array.from({ length: 5 }, () => vscode.commands.executeCommand('enginewright.smoothCells')),
    );
    await isReplaced(killed);
    await isServed(editor, 70);
  });

  test('restarted by the user, no text is lost', async () => {
    const editor = await openFile(FILE);
    await setText(editor, typed(90));
    await waitForDiagnostics(editor.document, (found) => found.some((one) => checkOf(one) === 'unknown-key'));
    await vscode.commands.executeCommand('enginewright.restartServer');
    assert.equal(enginewright().exports.serverRunning, true);
    await isServed(editor, 90);
  });

  test('killed again and again it stays away, the panel says so, and its link restarts it', async function () {
    if (process.platform === 'win32' || !driven) this.skip();
    const editor = await openFile('samples/dotterel/dotterel-16t.engine.yaml');
    select(editor, '88.6, 89.2');
    await vscode.commands.executeCommand('enginewright.showMap');
    await shown('.grid td');
    // The client gives up after five ends in three minutes; the tests before this one count.
    let killed: number | undefined;
    await until('no more servers', async () => {
      const found = serverProcess();
      if (found !== undefined && found !== killed) process.kill(found, 'SIGKILL');
      killed = found ?? killed;
      return !enginewright().exports.serverRunning && (await isGone());
    });
    await shown('text=The language server has stopped');
    await picture('server-stopped');
    await shown('.grid td');
    await vscode.commands.executeCommand('enginewright.restartServer');
    await shown('.state[hidden]');
    await waitForDiagnostics(editor.document, () => true);
    assert.equal(enginewright().exports.serverRunning, true);
  });
});

/** Whether no server comes back for as long as the client waits between attempts. */
async function isGone(): Promise<boolean> {
  await pause(4000);
  return serverProcess() === undefined;
}
