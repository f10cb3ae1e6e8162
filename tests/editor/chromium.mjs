// Finds a Chromium to display the editor in, or installs one if that is possible without asking.
import { chromium } from 'playwright-core';
import { installPackage, isRunnable, onSearchPath } from './programs.mjs';

const names = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];

/**
 * The path of a Chromium or a browser based on it: ENGINEWRIGHT_CHROMIUM, one on the search path, or one newly
 * installed with apt-get if that is allowed.
 */
export function findChromium() {
  const named = process.env.ENGINEWRIGHT_CHROMIUM;
  if (named !== undefined) {
    if (isRunnable(named)) return named;
    throw new Error(`ENGINEWRIGHT_CHROMIUM names ${named}, which is not a program.`);
  }
  const found = onSearchPath(names);
  if (found !== undefined) return found;
  installPackage(
    'chromium',
    'Installing Chromium (about 350 MB) with apt-get: the editor tests show VS Code in it.',
  );
  const installed = onSearchPath(names);
  if (installed !== undefined) return installed;
  throw new Error(
    'The editor tests need Chromium or Chrome. Install one, or name one in ENGINEWRIGHT_CHROMIUM. ' +
      'The other tests run without it: npm run test:unit',
  );
}

/** A headless Chromium. */
export function startChromium() {
  return chromium.launch({
    executablePath: findChromium(),
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-sync',
      // The last of these options counts. By default Playwright disables a feature without which Chromium refuses the panels
      // of a VS Code without a server: "The user denied permission to use Service Worker".
      '--disable-features=Translate',
    ],
  });
}
