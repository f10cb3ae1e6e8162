// Starts the server build of VS Code with the packaged extension installed in it.
import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { installEditor } from './install-editor.mjs';

/** A quiet window, which shows only the file and Enginewright. */
export const quietSettings = {
  'breadcrumbs.enabled': false,
  'chat.disableAIFeatures': true,
  'editor.minimap.enabled': false,
  'extensions.autoCheckUpdates': false,
  'extensions.autoUpdate': false,
  'extensions.ignoreRecommendations': true,
  // What a test types must not be saved to disk, where the next test would find it.
  'files.autoSave': 'off',
  'git.autofetch': false,
  'git.decorations.enabled': false,
  'git.openRepositoryInParentFolders': 'never',
  'scm.diffDecorations': 'none',
  'telemetry.telemetryLevel': 'off',
  'window.commandCenter': false,
  'workbench.activityBar.location': 'hidden',
  'workbench.colorTheme': 'Default Dark Modern',
  'workbench.layoutControl.enabled': false,
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
};

const startLimit = 60_000;

/**
 * Starts an editor server on this machine alone; its settings and extensions are in a folder that is
 * deleted with it.
 * @param {object} options
 * @param {string} options.vsix the extension to install
 * @param {number} [options.port] 0, the default, takes a free one
 * @param {boolean} [options.forTests] runs the suite that the page's address names
 * @param {object} [options.settings] user settings beside the quiet ones
 * @returns an object with `host` (address and port), `log`, `ended` (rejects when the server ends) and `stop`
 */
export async function startEditor({ vsix, port = 0, forTests = false, settings = {} }) {
  const { node, server } = installEditor();
  const home = mkdtempSync(join(tmpdir(), 'enginewright-editor-'));
  mkdirSync(join(home, 'data/User'), { recursive: true });
  writeFileSync(join(home, 'data/User/settings.json'), JSON.stringify({ ...quietSettings, ...settings }));

  const args = [server, '--host', '127.0.0.1', '--port', String(port), '--without-connection-token'];
  args.push('--accept-server-license-terms', '--disable-telemetry', '--disable-workspace-trust');
  args.push('--server-data-dir', home, '--extensions-dir', join(home, 'extensions'));
  args.push('--install-extension', vsix, '--start-server');
  if (forTests) args.push('--enable-smoke-test-driver'); // without it the built editor ignores a test suite
  // A process group of its own, so that the extension host and its servers end with it.
  const child = spawn(node, args, {
    stdio: ['ignore', 'pipe', 'pipe'],
    detached: true,
    env: { ...process.env, XDG_RUNTIME_DIR: home },
  });

  const log = [];
  let stopped = false;
  const ended = new Promise((_, reject) => {
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`the editor's server ended with status ${code}`)));
  });
  ended.catch(() => {}); // handled by the caller that awaits it

  const stop = () => {
    if (stopped) return;
    stopped = true;
    try {
      process.kill(-child.pid, 'SIGKILL');
    } catch {
      // It ended by itself.
    }
    rmSync(home, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
  };

  const listening = new Promise((resolve, reject) => {
    setTimeout(reject, startLimit, new Error("the editor's server did not start")).unref();
    const read = (chunk) => {
      log.push(String(chunk));
      const found = /agent listening on (\d+)/.exec(log.join(''));
      if (found) resolve(Number(found[1]));
    };
    child.stdout.on('data', read);
    child.stderr.on('data', read);
  });

  try {
    const actualPort = await Promise.race([listening, ended]);
    return { host: `127.0.0.1:${actualPort}`, log, ended, stop };
  } catch (error) {
    stop();
    throw new Error(`${error.message}\n${log.join('')}`);
  }
}
