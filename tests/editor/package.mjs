// Packs enginewright-VERSION.vsix and deletes it again if it contains too much or too little.
import { readFileSync } from 'node:fs';
import { createVSIX, listFiles, PackageManager } from '@vscode/vsce';
import { project } from './paths.mjs';

const { contributes } = JSON.parse(readFileSync(project('package.json'), 'utf8'));
const readme = readFileSync(project('README.md'), 'utf8');
const pictures = new Set([
  ...contributes.walkthroughs.flatMap(({ steps }) => steps.map(({ media }) => media.image)),
  ...Array.from(readme.matchAll(/\]\((docs\/pictures\/[^)]+)\)/g), ([, path]) => path),
]);
const expected = [
  'CHANGELOG.md',
  'LICENSE',
  'README.md',
  'client/activity-icon.svg',
  'client/icon.png',
  'dist/LICENSES.txt',
  'dist/check-pages.json',
  'dist/client.cjs',
  'dist/installation-panel.css',
  'dist/installation-panel.js',
  'dist/memory-panel.css',
  'dist/memory-panel.js',
  'dist/run-panel.css',
  'dist/run-panel.js',
  'dist/map-panel.css',
  'dist/map-panel.js',
  'dist/server.cjs',
  'dist/web/client.js',
  'dist/web/server.js',
  'package.json',
  ...pictures,
];

const cwd = project();
// Everything is bundled, so no packages are included. Looking them up would take seconds and require that all are in
// order.
const files = (await listFiles({ cwd, packageManager: PackageManager.None })).sort();
const missing = expected.filter((file) => !files.includes(file));
const surplus = files.filter((file) => !expected.includes(file));
if (missing.length > 0 || surplus.length > 0) {
  if (missing.length > 0) console.error(`The package lacks ${missing.join(', ')}.`);
  if (surplus.length > 0) console.error(`The package would carry ${surplus.join(', ')}.`);
  process.exit(1);
}
await createVSIX({ cwd, dependencies: false, rewriteRelativeLinks: false, allowMissingRepository: true });
