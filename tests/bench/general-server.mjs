// The general YAML language server from the package registry, for comparison with ours. It is not part of the project:
// it is installed into the cache folder when the benchmark first runs.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { project } from '../editor/paths.mjs';

const VERSION = '1.25.0';
/**
 * How long it waits for more typing before it validates, in ms (`validationDelayMs` in its source). This wait is
 * subtracted from its times, because it is not work.
 */
export const GENERAL_WAIT = 200;

const folder = project('.editor-cache', 'general-yaml-server');
const program = join(folder, 'node_modules/yaml-language-server/bin/yaml-language-server');

/** The path of the server; undefined if it could not be installed. */
export function generalServer() {
  if (existsSync(program)) return program;
  console.log(`Installing yaml-language-server ${VERSION} (27 MB) for the comparison.`);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'package.json'), '{ "private": true }\n');
  const args = ['install', `yaml-language-server@${VERSION}`, '--no-audit', '--no-fund', '--loglevel=error'];
  try {
    execFileSync('npm', args, { cwd: folder, stdio: 'inherit', shell: process.platform === 'win32' });
  } catch {
    console.log('It could not be installed, so there is no comparison.');
    return undefined;
  }
  return program;
}

/** Its settings: our schemas for our files, and no downloads. */
export function generalSettings(section) {
  if (section !== 'yaml') return {};
  const schema = (kind) => [pathToFileURL(project(`schemas/${kind}.schema.json`)).href, [`*.${kind}.yaml`]];
  return {
    validate: true,
    hover: true,
    completion: true,
    schemaStore: { enable: false, url: '' },
    schemas: Object.fromEntries([schema('engine'), schema('controller')]),
    maxItemsComputed: 1_000_000,
    customTags: [],
  };
}
