// Runs a suite in a real VS Code: its server build, shown in a headless Chromium. The suite itself runs in
// VS Code's extension host and speaks to this script through the page (see suite/driver.ts).
// VERBOSE=1 prints all that the editor logs.
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { format } from 'node:util';
import { chromium } from 'playwright-core';
import { bundleSuite } from './bundle-suite.mjs';
import { findChromium } from './chromium.mjs';
import { output, packagedExtension } from './paths.mjs';
import { startEditor } from './vscode-server.mjs';

const suiteLimit = 600_000;
const shownLimit = 14_000;
const answers = output('answers');

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
  for (const folder of [pictures, answers]) {
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder, { recursive: true });
  }
  const browserPath = findChromium();
  const { extension, suite, workspace } = await bundleSuite(tests, sources);
  const editor = await startEditor({
    vsix: packagedExtension(),
    forTests: true,
    settings,
    env: { ENGINEWRIGHT_ANSWERS: answers },
  });
  const browser = await chromium.launch({
    executablePath: browserPath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-sync',
    ],
  });
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, ...window });
    const outcome = await suiteOutcome(page, editor, { extension, suite, workspace, pictures });
    if (outcome.failed > 0) await page.screenshot({ path: join(pictures, 'failed.png') });
    return outcome;
  } catch (error) {
    if (!process.env.VERBOSE) console.error(editor.log.slice(-60).join(''));
    throw error;
  } finally {
    await browser.close();
    editor.stop();
  }
}

/** A pattern for a text with any blanks. */
const loosely = (text) => new RegExp(text.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&').replaceAll(' ', '\\s'));

/** Waits until something in the page, including the frames of panels, matches. */
async function waitFor(page, selector) {
  const deadline = Date.now() + shownLimit;
  for (;;) {
    for (const frame of page.frames()) {
      // A frame may disappear during the query.
      if (
        await frame
          .locator(selector)
          .count()
          .catch(() => 0)
      )
        return;
    }
    if (Date.now() > deadline) throw new Error(`Nothing in the window matches ${selector}.`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** Opens the workspace in the page and resolves with the counts that the suite finally reports. */
async function suiteOutcome(page, editor, { extension, suite, workspace, pictures }) {
  let totals;
  const requests = {
    say: (line) => console.log(line),
    totals: (counts) => {
      totals = counts;
    },
    picture: (name) => page.screenshot({ path: join(pictures, `${name}.png`) }),
    type: (text) => page.keyboard.type(text),
    press: (key) => page.keyboard.press(key),
    shown: (selector) => waitFor(page, selector),
    // The text editor displays blanks as non-breaking spaces.
    point: (text) =>
      page
        .locator('.view-line span', { hasText: loosely(text) })
        .last()
        .hover(),
    see: (text) => page.getByText(loosely(text)).first().waitFor({ timeout: 5000 }),
    resize: (size) => {
      const [width, height] = size.split('x').map(Number);
      return page.setViewportSize({ width, height });
    },
  };
  await page.exposeFunction('codeAutomationLog', async (type, args) => {
    const line = format(...args);
    editor.log.push(`${type}: ${line}\n`);
    if (process.env.VERBOSE) console.error(`${type}: ${line}`);
    if (!line.startsWith('@driver ')) return;
    const { id, what, value } = JSON.parse(line.slice('@driver '.length));
    const answer = await Promise.resolve(requests[what](value)).then(
      () => '',
      (error) => String(error.message),
    );
    if (id !== undefined) writeFileSync(join(answers, id), answer);
  });
  const suiteEnd = new Promise((resolve) => page.exposeFunction('codeAutomationExit', resolve));

  // The editor compares these addresses with the page's own, so host and port must be the same.
  const address = (path) => `vscode-remote://${editor.host}${encodeURI(path)}`;
  const payload = [
    ['extensionDevelopmentPath', address(extension)],
    ['extensionTestsPath', address(suite)],
    ['skipWelcome', 'true'],
  ];
  const query = new URLSearchParams({ folder: workspace, payload: JSON.stringify(payload) });
  await page.goto(`http://${editor.host}/?${query}`);

  const timeUp = new Promise((_, reject) => {
    setTimeout(reject, suiteLimit, new Error(`the suite took longer than ${suiteLimit / 1000} s`)).unref();
    page.once('crash', () => reject(new Error('the page crashed')));
  });
  await Promise.race([suiteEnd, editor.ended, timeUp]);
  // The editor reports success even if its extension host has crashed, so only the suite's own counts are used.
  if (totals === undefined)
    throw new Error('the suite did not come to its end: the extension host may have died');
  return totals;
}
