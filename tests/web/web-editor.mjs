// A VS Code without a server, as on the web: its server build, which the other editor tests use too, contains the whole
// workbench for browsers. Its own start connects to the server; three changes make it do without.
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import { dirname, extname, join, normalize } from 'node:path';
import { installEditor } from '../editor/install-editor.mjs';
import { quietSettings } from '../editor/vscode-server.mjs';

const workbench = 'out/vs/code/browser/workbench';

/** Replaces a text that must occur exactly once, so that another version of VS Code cannot pass unnoticed. */
function replaced(text, pattern, by) {
  const found = text.match(new RegExp(pattern, 'g')) ?? [];
  if (found.length !== 1)
    throw new Error(`This version of VS Code contains ${found.length} times ${pattern}.`);
  return text.replace(pattern, by);
}

function withoutServer(script, builtIns) {
  let text = replaced(script, /remoteAuthority:location\.host/, 'remoteAuthority:void 0');
  // User settings are kept on the server.
  text = replaced(
    text,
    /(get userRoamingDataHome\(\)\{return [\w$]+\([\w$]+\.file\(this\.userDataPath\)\.with\(\{scheme:[\w$]+\.)vscodeRemote\}/,
    '$1vscodeUserData}',
  );
  return replaced(
    text,
    /async scanBuiltinExtensions\(\)\{return\[\.\.\.await Promise\.all\(this\.builtinExtensionsPromises\)\]\}/,
    `async scanBuiltinExtensions(){const kept=${JSON.stringify(builtIns)};` +
      'return(await Promise.all(this.builtinExtensionsPromises)).filter((one)=>kept.includes(one.identifier.id.toLowerCase()))}',
  );
}

/** The built-in extensions whose programs for browsers are there; the server build has few of them. */
function builtInsFor(root) {
  return readdirSync(join(root, 'extensions')).flatMap((name) => {
    const path = join(root, 'extensions', name, 'package.json');
    if (!existsSync(path)) return [];
    const { publisher, name: id, browser } = JSON.parse(readFileSync(path, 'utf8'));
    const isThere = !browser || existsSync(join(dirname(path), browser.replace(/(\.js)?$/, '.js')));
    return isThere ? [`${publisher}.${id}`.toLowerCase()] : [];
  });
}

const types = {
  '.css': 'text/css',
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.json': 'application/json',
  '.mjs': 'text/javascript',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
  '.ttf': 'font/ttf',
  '.wasm': 'application/wasm',
};

/**
 * Serves the editor and extensions to this machine alone.
 * @param {Record<string, (path: string) => string | undefined>} extensions the file of each path of an extension, by its name
 * @param {object} options
 * @param {string} options.suite the path of the suite, `/NAME/PATH`
 * @param {string} options.folder the URI of the folder to open
 * @returns {Promise<{ address: string, stop: () => void }>}
 */
export async function startWebEditor(extensions, { suite, folder }) {
  const root = join(dirname(installEditor().server), '..');
  const script = withoutServer(
    readFileSync(join(root, workbench, 'workbench.js'), 'utf8'),
    builtInsFor(root),
  );
  const find = (path) => {
    const [, name, rest] = /^\/([^/]+)\/(.+)$/.exec(path) ?? [];
    if (name === 'editor') return join(root, rest);
    return extensions[name]?.(rest);
  };
  let page;
  const server = createServer((request, response) => {
    const path = normalize(decodeURIComponent(new URL(request.url, 'http://localhost').pathname)).replaceAll(
      '\\',
      '/',
    );
    const answer = (type, body) =>
      response.writeHead(200, { 'content-type': type, 'access-control-allow-origin': '*' }).end(body);
    if (path === '/') return answer('text/html', page);
    if (path === `/editor/${workbench}/workbench.js`) return answer('text/javascript', script);
    const file = find(path);
    if (!file || !statSync(file, { throwIfNoEntry: false })?.isFile()) {
      if (process.env.VERBOSE) console.error(`not served: ${path}`);
      return response.writeHead(404).end();
    }
    return answer(types[extname(file)] ?? 'application/octet-stream', readFileSync(file));
  });
  await new Promise((resolve) => server.listen(0, 'localhost', resolve));
  const { port } = server.address();
  page = pageOf({ port, names: Object.keys(extensions), suite, folder });
  return {
    address: `http://localhost:${port}`,
    stop: () => {
      server.close();
      server.closeAllConnections();
    },
  };
}

function pageOf({ port, names, suite, folder }) {
  const uri = (path) => ({ scheme: 'http', authority: `localhost:${port}`, path });
  const [, scheme, path] = /^([\w-]+):(.*)$/.exec(folder);
  // Each host of extensions and each panel has an origin of its own.
  const isolated = `http://{{uuid}}.localhost:${port}/editor`;
  const settings = {
    userDataPath: '/',
    isEnabledFileDownloads: true,
    isEnabledFileUploads: true,
    isEnabledCoderGettingStarted: false,
    folderUri: { scheme, path },
    configurationDefaults: quietSettings,
    developmentOptions: {
      extensions: names.map((name) => uri(`/${name}`)),
      extensionTestsPath: uri(suite),
    },
    productConfiguration: {
      enableTelemetry: false,
      webEndpointUrlTemplate: isolated,
      webviewContentExternalBaseUrlTemplate: `${isolated}/out/vs/workbench/contrib/webview/browser/pre/`,
    },
  };
  const escaped = JSON.stringify(settings).replaceAll('&', '&amp;').replaceAll('"', '&quot;');
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta id="vscode-workbench-web-configuration" data-settings="${escaped}">
<link rel="icon" href="data:,">
<link rel="stylesheet" href="/editor/${workbench}/workbench.css">
</head>
<body aria-label=""></body>
<script>globalThis._VSCODE_FILE_ROOT = new URL('/editor/out/', location.href).href;</script>
<script src="/editor/out/nls.messages.js"></script>
<script type="module" src="/editor/${workbench}/workbench.js"></script>
</html>`;
}
