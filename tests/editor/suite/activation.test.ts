import assert from 'node:assert/strict';
import { suite, teardown, test } from 'mocha';
import * as vscode from 'vscode';
import { picture } from './driver.ts';
import { closeFiles, enginewright, openFile, pause, until } from './helpers.ts';

suite('Activation', () => {
  teardown(closeFiles);

  test('YAML of others starts nothing', async () => {
    const { document } = await openFile('not-an-engine.yaml');
    assert.equal(document.languageId, 'yaml');
    const extension = enginewright();
    await until('activation', () => extension.isActive);
    await pause(500); // Long enough for a server to start if one were requested.
    assert.equal(extension.exports.serverRunning, false);
    assert.deepEqual(vscode.languages.getDiagnostics(document.uri), []);
  });

  test('restarting where nothing runs starts nothing', async () => {
    await vscode.commands.executeCommand('enginewright.restartServer');
    assert.equal(enginewright().exports.serverRunning, false);
  });

  test('an engine file starts the language server and stays YAML', async () => {
    const { document } = await openFile('first.engine.yaml');
    assert.equal(document.languageId, 'yaml');
    await until('the language server', () => enginewright().exports.serverRunning);
    await picture('engine-file');
  });

  test('a restart brings the language server back', async () => {
    await vscode.commands.executeCommand('enginewright.restartServer');
    assert.equal(enginewright().exports.serverRunning, true);
  });

  test('the extension works in a folder that is not trusted', () => {
    const { capabilities } = enginewright().packageJSON as {
      capabilities: { untrustedWorkspaces: { supported: unknown } };
    };
    assert.equal(capabilities.untrustedWorkspaces.supported, true);
  });
});
