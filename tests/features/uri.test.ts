import { fileURLToPath, pathToFileURL } from 'node:url';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isAddress, pathOfUri, uriOfPath } from '../../server/uri.ts';

// The server does not use node:url, because it also runs in browsers; Node says what is right.
const names = fc.string({ unit: 'grapheme', minLength: 1 }).map((name) => name.replaceAll(/[/\0]/g, '-'));
const paths = fc.array(
  names.filter((name) => name !== '.' && name !== '..'),
  { minLength: 1 },
);

describe.skipIf(process.platform === 'win32')('URIs of files', () => {
  test('lead to the same path as in Node, and back', () => {
    fc.assert(
      fc.property(paths, (steps) => {
        const path = `/${steps.join('/')}`;
        // Node 20 drops control characters at the end.
        const url = pathToFileURL(path);
        expect(pathOfUri(url.href)).toBe(fileURLToPath(url));
        expect(pathOfUri(uriOfPath(path))).toBe(path);
        expect(fileURLToPath(uriOfPath(path))).toBe(path);
      }),
      // Blanks and control characters at the end, which the URL class drops.
      { examples: [[[' ']], [['a \t']], [['a', 'b\u0001']], [[' a']]] },
    );
  });

  test.each(['file:///a/b%2fc.yaml', 'file://elsewhere/a.yaml', 'file:///a%ff.yaml'])(
    'that have no path are their own name: %s',
    (uri) => {
      expect(() => fileURLToPath(uri)).toThrow();
      expect(pathOfUri(uri)).toBe(uri);
    },
  );
});

test('other URIs are names of documents', () => {
  expect(pathOfUri('memfs:/shop/a%20b.engine.yaml')).toBe('memfs:/shop/a b.engine.yaml');
  for (const uri of ['memfs:/shop/a%20b.engine.yaml', 'vscode-vfs://github/team/a.engine.yaml'])
    expect(uriOfPath(pathOfUri(uri))).toBe(uri);
});

test('a drive is no scheme', () => {
  expect(['vscode-vfs://github/a.yaml', 'memfs:/a.yaml', 'C:/a.yaml', '/a:/b.yaml'].map(isAddress)).toEqual([
    true,
    true,
    false,
    false,
  ]);
});
