// Runs a suite in a real VS Code: its server build, shown in a headless Chromium. The suite itself runs in
// VS Code's extension host and speaks to this script through the page (see driver.mjs).
// VERBOSE=1 prints all that the editor logs.
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { bundleSuite } from './bundle-suite.mjs';
import { startChromium } from './chromium.mjs';
import { startDriver } from './driver.mjs';
import { packagedExtension } from './paths.mjs';
import { startEditor } from './vscode-server.mjs';

const suiteLimit = 600_000;

/**
 * Runs every test of a folder and resolves with how many passed and failed.
 * @param {object} options
 * @param {string} options.tests the folder of the tests
 * @param {string[]} options.workspace the folders that the tests find copied into their workspace
 * @param {string} options.pictures the folder for the pictures that they take, which is emptied first
 * @param {object} [options.window] of the browser, as Playwright has it
 * @param {object} [options.settings] user settings beside the quiet ones
 */
export async function runSuite({ tests, workspace: sources, pictures, window = {}, settings = {} }) {
  rmSync(pictures, { recursive: true, force: true });
  mkdirSync(pictures, { recursive: true });
  const driver = await startDriver();
  const { extension, suite, workspace } = await bundleSuite(tests, sources, driver.address);
  const editor = await startEditor({ vsix: packagedExtension(), forTests: true, settings });
  const browser = await startChromium();
  try {
    const page = await browser.newPage({
      viewport: { width: 1280, height: 800 },
      permissions: ['clipboard-read', 'clipboard-write'],
      ...window,
    });
    const { ended, totals } = await driver.attach(page, { pictures, log: editor.log });

    // The editor compares these addresses with the page's own, so host and port must be the same.
    const address = (path) => `vscode-remote://${editor.host}${encodeURI(path)}`;
    const payload = [
      ['extensionDevelopmentPath', address(extension)],
      ['extensionTestsPath', address(suite)],
      ['skipWelcome', 'true'],
    ];
    const query = new URLSearchParams({ folder: workspace, payload: JSON.stringify(payload) });
    await page.goto(`http://${editor.host}/?${query}`);

    await Promise.race([ended, editor.ended, timeUp(suiteLimit)]);
    const outcome = outcomeOf(totals());
    if (outcome.failed > 0) await page.screenshot({ path: join(pictures, 'failed.png') });
    return outcome;
  } catch (error) {
    if (!process.env.VERBOSE) console.error(editor.log.slice(-60).join(''));
    throw error;
  } finally {
    await browser.close();
    editor.stop();
    driver.stop();
  }
}

/** Rejects after a time (ms). */
export const timeUp = (limit) =>
  new Promise((_, reject) => {
    setTimeout(reject, limit, new Error(`the suite took longer than ${limit / 1000} s`)).unref();
  });

/** The editor reports success even if its extension host has crashed, so only the suite's own counts are used. */
export function outcomeOf(totals) {
  if (totals === undefined)
    throw new Error('the suite did not come to its end: the extension host may have died');
  return totals;
}
