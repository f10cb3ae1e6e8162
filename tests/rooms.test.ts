import { readdirSync, readFileSync } from 'node:fs';
import { posix } from 'node:path';
import { expect, test } from 'vitest';

/** The folders of `shared/`, from the bottom up, and the folders that each may import. */
const LOOKS_INTO: Readonly<Record<string, readonly string[]>> = {
  arithmetic: [],
  quantity: [],
  physics: ['arithmetic'],
  source: [],
  conventions: [],
  // From physics only a constant: gauge pressures are compared with bounds at sea level.
  configuration: ['source', 'quantity', 'physics'],
  derived: ['configuration', 'source', 'quantity', 'physics', 'arithmetic'],
  // Bytes, records and checksums, without engines or files.
  image: [],
  storage: ['image', 'configuration', 'source', 'quantity'],
  proof: ['derived', 'configuration', 'source', 'quantity', 'physics', 'arithmetic'],
  checks: [
    ...['runs', 'storage', 'proof', 'derived', 'configuration', 'conventions'],
    ...['source', 'quantity', 'physics'],
  ],
  tables: ['analysis.ts', 'proof', 'checks', 'derived', 'configuration', 'source', 'quantity'],
  limits: ['proof', 'checks', 'derived', 'configuration', 'source', 'physics'],
  harness: ['derived', 'configuration'],
  faults: ['limits', 'proof', 'checks', 'derived', 'configuration', 'source', 'quantity', 'physics'],
  compare: [
    'analysis.ts',
    'faults',
    'limits',
    'proof',
    'checks',
    'derived',
    'configuration',
    'source',
    'quantity',
    // The formula of a scaling, for what an old input reads now.
    'physics',
  ],
  runs: ['proof', 'derived', 'configuration', 'source', 'quantity', 'physics', 'arithmetic'],
  starting: ['analysis.ts', 'checks', 'configuration', 'source'],
  'analysis.ts': ['checks', 'proof', 'derived', 'configuration', 'source'],
};

/** Small helpers without knowledge of engines, which every folder may import. */
const HELPERS = [
  'bare-object.ts',
  'capital.ts',
  'counted.ts',
  'difference-of.ts',
  'extremes.ts',
  'grouped-by.ts',
  'memo.ts',
  'spelling.ts',
];

const ROOT = new URL('../', import.meta.url);

/** The imports of a file: paths from the root of the project, and names of packages. */
const importsIn = (file: string, text: string): string[] =>
  Array.from(text.matchAll(/(?:\bfrom|\bimport) '([^']+)'|\bimport\('([^']+)'\)/g), ([, named, loaded]) => {
    const target = (named ?? loaded)!;
    return target.startsWith('.') ? posix.join(posix.dirname(file), target) : target;
  });

/** The imports of each file in a folder. */
function importsBelow(folder: string): [file: string, target: string][] {
  const names = readdirSync(new URL(`${folder}/`, ROOT), { recursive: true, encoding: 'utf8' });
  return names
    .map((name) => posix.join(folder, name.replaceAll('\\', '/')))
    .filter((file) => file.endsWith('.ts'))
    .flatMap((file) => {
      const text = readFileSync(new URL(file, ROOT), 'utf8');
      return importsIn(file, text).map((target): [string, string] => [file, target]);
    });
}

/** The folder of a file in `shared/`, or the file itself if it is in none. */
const roomOf = (file: string): string => file.split('/')[1]!;

const shared = importsBelow('shared');
const looks = shared
  .filter(([file, target]) => target.startsWith('shared/') && roomOf(file) !== roomOf(target))
  .filter(([, target]) => !HELPERS.includes(roomOf(target)))
  .map(([file, target]): [string, string] => [`${roomOf(file)} into ${roomOf(target)}`, file]);

test('a room of shared looks into none but those beneath it', () => {
  const allowed = Object.entries(LOOKS_INTO).flatMap(([room, others]) =>
    others.map((other) => `${room} into ${other}`),
  );
  const seen = new Map(looks);
  expect([...seen].filter(([look]) => !allowed.includes(look))).toEqual([]);
  expect(allowed.filter((look) => !seen.has(look))).toEqual([]);
});

test('shared is given texts: it imports no face, no system and no package but the reader of YAML', () => {
  const foreign = shared.filter(([, target]) => !/^(?:shared|generated)\//.test(target));
  expect([...new Set(foreign.map(([, target]) => target))]).toEqual(['yaml']);
});

test('the server knows no client', () => {
  const known = importsBelow('server').filter(([, target]) => /^client\/|^vscode$/.test(target));
  expect(known).toEqual([]);
});

const manifest = JSON.parse(readFileSync(new URL('package.json', ROOT), 'utf8'));

/**
 * The files that an entry point consists of, and the packages and modules that they import. `host` selects the module that
 * `#host` means.
 */
function reachedFrom(entry: string, host: 'browser' | 'default'): { files: string[]; packages: string[] } {
  const own = (target: string) =>
    target === '#host' ? posix.normalize(manifest.imports['#host'][host]) : target;
  const reached = new Set([entry]);
  for (const file of reached) {
    if (!/^(?:server|client|shared)\//.test(file)) continue;
    // Imports of types are not in the program.
    const text = readFileSync(new URL(file, ROOT), 'utf8').replaceAll(/^import type [^;]*;/gm, '');
    for (const target of importsIn(file, text)) reached.add(own(target));
  }
  const isOwn = (target: string) => /^(?:server|client|shared|generated)\/|\.json$/.test(target);
  return {
    files: [...reached].filter(isOwn),
    packages: [...reached].filter((target) => !isOwn(target)).sort(),
  };
}

const PROGRAMS = [
  [
    'server/worker.ts',
    ['vscode-languageserver', 'vscode-languageserver/browser', 'yaml', '@noble/hashes/sha2.js'],
  ],
  ['client/browser.ts', ['vscode', 'vscode-languageclient', 'vscode-languageclient/browser', 'yaml']],
] as const;

test.each(PROGRAMS)('what runs in a browser needs nothing of Node: %s', (entry, packages) => {
  const { files, packages: imported } = reachedFrom(entry, 'browser');
  expect(files.length).toBeGreaterThan(10);
  expect(imported.filter((target) => !(packages as readonly string[]).includes(target))).toEqual([]);
  const globals = /\b(?:Buffer\b|process\.|setImmediate\(|__dirname|require\()/;
  const code = (file: string) =>
    readFileSync(new URL(file, ROOT), 'utf8').replaceAll(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm, '');
  const own = files.filter((file) => file.endsWith('.ts') && !file.startsWith('generated/'));
  expect(own.filter((file) => globals.test(code(file)))).toEqual([]);
});

test('both hosts run the same client and the same server', () => {
  for (const [node, browser, others] of [
    ['client/node.ts', 'client/browser.ts', []],
    ['server/main.ts', 'server/worker.ts', ['server/host-browser.ts']],
  ] as const) {
    const inNode = reachedFrom(node, 'default').files;
    const inBrowser = reachedFrom(browser, 'browser').files;
    const apart = inBrowser.filter((file) => !inNode.includes(file)).sort();
    expect(apart).toEqual([...others, browser].sort());
  }
});

/** Cycles of imports, including types: each as the path that leads back. */
function circles(imports: readonly [file: string, target: string][]): string[] {
  const targets = new Map<string, string[]>();
  for (const [file, target] of imports) targets.set(file, [...(targets.get(file) ?? []), target]);
  const done = new Set<string>();
  const found: string[] = [];
  const visit = (file: string, path: readonly string[]): void => {
    if (path.includes(file)) found.push([...path.slice(path.indexOf(file)), file].join(' → '));
    else if (!done.has(file)) for (const target of targets.get(file) ?? []) visit(target, [...path, file]);
    done.add(file);
  };
  for (const file of targets.keys()) visit(file, []);
  return found;
}

test.each(['shared', 'server', 'client'])('no files of %s import each other in a circle', (room) => {
  expect(circles(importsBelow(room))).toEqual([]);
});

test('a circle is found', () => {
  const imports: [string, string][] = [
    ['a', 'b'],
    ['b', 'c'],
    ['c', 'b'],
  ];
  expect(circles(imports)).toEqual(['b → c → b']);
});

test('formulas are made in physics alone, where each is held against a value from outside', () => {
  const maker = /import (?:\{[^}]*\bformula\b[^}]*\}|\* as \w+) from '[^']*\/physics\/(?:formula|index)\.ts'/;
  const makers = [...new Set([...shared, ...importsBelow('server')].map(([file]) => file))].filter((file) =>
    maker.test(readFileSync(new URL(file, ROOT), 'utf8')),
  );
  expect(makers).toEqual([]);
});
