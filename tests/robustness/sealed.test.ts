import { readdirSync, readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));

/** The sources of a folder by path, without comments. */
function sourcesIn(room: string): [path: string, text: string][] {
  return readdirSync(join(root, room), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => {
      const text = readFileSync(join(root, room, name), 'utf8');
      return [`${room}/${name}`, text.replaceAll(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm, '')];
    });
}

const sources = ['shared', 'server', 'client'].flatMap(sourcesIn);

/** The Node modules that each source uses, without `node:`. */
function builtinsOf(text: string): string[] {
  const named = [...text.matchAll(/(?:from|import|require)\s*\(?\s*['"]([^'"]+)['"]/g)].map(
    ([, name]) => name!,
  );
  return named.map((name) => name.replace(/^node:/, '')).filter((name) => builtinModules.includes(name));
}

const usersOf = (module: string) =>
  sources.filter(([, text]) => builtinsOf(text).includes(module)).map(([path]) => path);

/** The sources that contain a pattern outside comments. */
const holding = (pattern: RegExp) => sources.filter(([, text]) => pattern.test(text)).map(([path]) => path);

test('the sources are found, and what they use of Node', () => {
  expect(sources.length).toBeGreaterThan(300);
  expect(usersOf('fs')).toContain('server/files.ts');
});

describe('no source of the program', () => {
  test.each(['http', 'http2', 'https', 'net', 'tls', 'dgram', 'dns', 'dns/promises', 'cluster', 'inspector'])(
    'can reach a network by %s',
    (module) => expect(usersOf(module)).toEqual([]),
  );

  test('can reach a network as pages do', () => {
    expect(holding(/\bfetch\s*\(|\bXMLHttpRequest\b|\bWebSocket\b|\bEventSource\b|\bsendBeacon\b/)).toEqual(
      [],
    );
  });

  test('opens a page elsewhere by itself', () => {
    expect(holding(/\bopenExternal\b|\basExternalUri\b/)).toEqual([]);
  });

  test('makes code of text', () => {
    expect(holding(/\beval\s*\(|\bnew\s+Function\b|\bsetTimeout\s*\(\s*['"`]/)).toEqual([]);
    expect(usersOf('repl')).toEqual([]);
    expect(usersOf('vm')).toEqual([]);
    // A thread could be given code; these two only run the program itself again.
    expect(usersOf('worker_threads').sort()).toEqual([
      'server/command.ts',
      'server/commands/check-threads.ts',
    ]);
    expect(holding(/\beval\s*:/)).toEqual([]);
  });

  test('loads a module whose name is not written in it', () => {
    expect(holding(/\b(?:import|require)\s*\(\s*(?!['"])/)).toEqual([]);
  });

  test('starts another program, but for git, without a shell and with fixed commands', () => {
    const users = usersOf('child_process');
    expect(users.sort()).toEqual(['server/git.ts', 'server/revision.ts']);
    for (const [path, text] of sources.filter(([path]) => users.includes(path))) {
      expect(text, path).toMatch(/import \{ execFileSync \} from 'node:child_process'/);
      expect(text.match(/execFileSync\('git', /g), path).toHaveLength(text.match(/execFileSync\(/g)!.length);
      expect(text, path).not.toMatch(/\bshell\b/);
    }
  });

  test('writes or removes a file but by those that write a file or a folder whole, or a new one by the editor', () => {
    const writing = /\b(?:writeFile|writeFileSync|appendFile\w*|createWriteStream|renameSync|writeSync)\s*\(/;
    const byEditor = /\bworkspace\.fs\.writeFile\(/;
    const removing = /\brm\w*\(|\bunlink\w*\(/;
    const writers = holding(writing).filter((path) => !holding(byEditor).includes(path));
    const whole = ['server/release/make-release.ts', 'server/whole-file.ts'];
    expect(writers.sort()).toEqual(whole);
    expect(holding(byEditor)).toHaveLength(1);
    expect(holding(removing).sort()).toEqual(whole);
  });

  test('puts text into a page as if it were markup', () => {
    expect(holding(/\.(?:inner|outer)HTML\b|\binsertAdjacentHTML\b|\bdocument\.write\b/)).toEqual([]);
  });
});

describe('the panels', () => {
  test('are pages of one maker, whose policy lets in the script and the style of the extension alone', () => {
    expect(holding(/\.webview\.html\s*=/).length).toBeGreaterThan(0);
    for (const [path, text] of sources) {
      for (const [, made] of text.matchAll(/\.webview\.html\s*=\s*(\w+)/g))
        expect(made, path).toBe('webviewPage');
    }
    expect(holding(/<!DOCTYPE/).filter((path) => path.startsWith('client/'))).toEqual([
      'client/webview-page.ts',
    ]);
    const maker = readFileSync(join(root, 'client/webview-page.ts'), 'utf8');
    const [, policy] = /const policy = `([^`]*)`/.exec(maker)!;
    expect(policy!.split('; ')).toEqual([
      "default-src 'none'",
      // biome-ignore lint/suspicious/noTemplateCurlyInString: as it stands in the source
      "script-src 'nonce-${nonce}'",
      // biome-ignore lint/suspicious/noTemplateCurlyInString: as it stands in the source
      'style-src ${webview.cspSource}',
    ]);
  });

  test('may read the built folder of the extension and nothing else', () => {
    const makers = holding(/createWebviewPanel|enableScripts/);
    expect(makers.length).toBeGreaterThan(0);
    for (const [path, text] of sources.filter(([path]) => makers.includes(path))) {
      expect(text, path).toMatch(/localResourceRoots: \[builtFolder\(/);
    }
  });
});
