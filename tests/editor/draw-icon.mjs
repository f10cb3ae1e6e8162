// Draws client/icon.png from client/icon.svg. Run it after changing the drawing.
import { readFileSync } from 'node:fs';
import { chromium } from 'playwright-core';
import { findChromium } from './chromium.mjs';
import { project } from './paths.mjs';

const size = 256;
const browser = await chromium.launch({
  executablePath: findChromium(),
  args: ['--no-sandbox', '--disable-gpu'],
});
const page = await browser.newPage({ viewport: { width: size, height: size } });
const drawing = readFileSync(project('client/icon.svg'), 'utf8');
await page.setContent(`<style>body { margin: 0 } svg { display: block; width: ${size}px }</style>${drawing}`);
await page.screenshot({ path: project('client/icon.png'), omitBackground: true });
await browser.close();
