// Runs the tests in VS Code on the web, with what the package contains.
// VERBOSE=1 prints all that the editor logs.
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { listFiles, PackageManager } from '@vscode/vsce';
import { startChromium } from '../editor/chromium.mjs';
import { startDriver } from '../editor/driver.mjs';
import { output, project } from '../editor/paths.mjs';
import { outcomeOf, timeUp } from '../editor/run-suite.mjs';
import { bundleWebSuite } from './bundle.mjs';
import { startWebEditor } from './web-editor.mjs';

const suiteLimit = 600_000;
const pictures = output('web-pictures');
const started = Date.now();

rmSync(pictures, { recursive: true, force: true });
mkdirSync(pictures, { recursive: true });
const { passed, failed } = await run().catch((error) => {
  console.error(error.message);
  return { passed: 0, failed: 1 };
});
console.log(
  `Tests on the web: ${passed} passed, ${failed} failed, in ${((Date.now() - started) / 1000).toFixed(1)} s.`,
);
process.exit(failed === 0 && passed > 0 ? 0 : 1);

async function run() {
  const driver = await startDriver();
  const suite = await bundleWebSuite(driver.address, [project('tests/editor/workspace'), project('samples')]);
  const packaged = new Set(await listFiles({ cwd: project(), packageManager: PackageManager.None }));
  const editor = await startWebEditor(
    {
      enginewright: (path) => (packaged.has(path) ? project(path) : undefined),
      suite: (path) => join(suite, path),
    },
    { suite: '/suite/index.js', folder: 'enginewright-memory:/workspace' },
  );
  const browser = await startChromium();
  const log = [];
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    page.on('console', (message) => {
      if (process.env.VERBOSE) console.error(message.text());
    });
    const { ended, totals } = await driver.attach(page, { pictures, log });
    await page.goto(editor.address);
    await Promise.race([ended, timeUp(suiteLimit)]).catch(async (error) => {
      await page.screenshot({ path: join(pictures, 'failed.png') });
      throw error;
    });
    return outcomeOf(totals());
  } catch (error) {
    if (!process.env.VERBOSE) console.error(log.slice(-60).join(''));
    throw error;
  } finally {
    await browser.close();
    editor.stop();
    driver.stop();
  }
}
