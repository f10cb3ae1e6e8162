import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseDocument } from 'yaml';
import { nodeAtOffset, readSource, type SourceFile } from '../../shared/source/source-file.ts';
import { nodeAtPath, pathOf, pathText, plainValue } from '../../shared/source/tree.ts';
import { plain, shownForFile } from '../support/shown-for-file.ts';

const COMPLETE = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');

describe('a text cut into chunks', () => {
  test('reads as the same values as a whole parse by the YAML library', () => {
    const file = readSource('/a', COMPLETE);
    expect(file.chunks.size).toBeGreaterThan(20);
    expect(plain(plainValue(file.root))).toEqual(plain(parseDocument(COMPLETE).toJS()));
  });

  test('keeps every chunk that an edit does not touch', () => {
    const before = readSource('/a', COMPLETE);
    const after = readSource('/a', COMPLETE.replace('bore: 84 mm', 'bore: 85.5 mm'), before);
    const kept = [...after.chunks.keys()].filter((chunk) => before.chunks.has(chunk));
    expect(after.chunks.size - kept.length).toBe(1);
  });

  test('keeps a section that an edit does not touch, wherever it stands then', () => {
    const before = readSource('/a', COMPLETE);
    const after = readSource('/a', COMPLETE.replace('bore: 84 mm', 'bore: 85 mm\n  # new'), before);
    expect(after.root.get('fuel')).toBe(before.root.get('fuel'));
    expect(after.root.get('engine')).not.toBe(before.root.get('engine'));
    const place = (file: SourceFile) => file.chunks.get(file.root.get('fuel')!.chunk);
    expect(place(after)).toBe(place(before)! + '\n  # new'.length);
  });

  test('after any edit is cut and put together as the same text read anew', () => {
    const lines = COMPLETE.split('\n');
    const LINES: readonly string[] = [
      '',
      'engine:',
      '  bore: 84 mm',
      '    x: 1',
      '- a',
      '  - b',
      '# c',
      'a: [',
    ];
    const edit = fc.record({
      at: fc.nat(lines.length),
      gone: fc.oneof(fc.nat(3), fc.nat(60)),
      written: fc.oneof(
        fc.array(fc.constantFrom(...LINES), { maxLength: 3 }),
        // Lines of the file itself, moved or duplicated.
        fc.tuple(fc.nat(lines.length), fc.nat(60)).map(([from, count]) => lines.slice(from, from + count)),
      ),
      deeper: fc.constantFrom('', '', '', ' ', '  '),
    });
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 4 }), (edits) => {
        let file = readSource('/a', COMPLETE);
        for (const { at, gone, written, deeper } of edits) {
          const now = file.text.split('\n');
          now.splice(at, gone, ...written.map((line) => deeper + line));
          file = readSource('/a', now.join('\n'), file);
          expect(shownForFile(file)).toEqual(shownForFile(readSource('/a', file.text)));
        }
      }),
      { numRuns: 300 },
    );
  });

  test('finds each of a thousand chunks, and what stands at their places', () => {
    const text = `sensors:\n${Array.from({ length: 1000 }, (_, i) => `  s${i}: ${i}\n`).join('')}`;
    const file = readSource('/a', text);
    expect(file.chunks.size).toBe(1001);
    for (const [chunk, start] of file.chunks) {
      expect(file.chunks.get(chunk)).toBe(start);
      const { key } = chunk.root.entries[0]!;
      expect(nodeAtOffset(file, start + key.start)).toBe(key);
    }
    expect(file.chunks.has(readSource('/a', text).root.chunk)).toBe(false);
  });

  test('knows the path of a node through the cuts', () => {
    const file = readSource('/a', COMPLETE);
    const steps = ['fuel', 'volumetric_efficiency', 'values', 2, 1];
    const node = nodeAtPath(file.root, steps)!;
    expect(pathText(pathOf(node))).toBe('fuel.volumetric_efficiency.values[2][1]');
    expect(file.text.slice(file.chunks.get(node.chunk)! + node.start).startsWith('81')).toBe(true);
  });

  test('an alias may name an anchor of another section', () => {
    const file = readSource('/a', 'engine:\n  bore: &size 84 mm\nfuel:\n  grade: *size\n');
    expect(file.faults).toEqual([]);
    expect(plain(plainValue(file.root))).toEqual({ engine: { bore: '84 mm' }, fuel: { grade: '84 mm' } });
  });

  test('a key that stands twice is said once, and the first counts', () => {
    const file = readSource('/a', 'engine:\n  bore: 84 mm\nengine:\n  bore: 90 mm\n');
    expect(file.faults.map(({ rule }) => rule)).toEqual(['duplicate-key']);
    expect(plain(plainValue(file.root))).toEqual({ engine: { bore: '84 mm' } });
  });
});
