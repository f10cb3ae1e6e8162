import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parseDocument } from 'yaml';
import { readSource } from '../../shared/source/source-file.ts';
import { nodeAtPath, pathOf, pathText, plainValue } from '../../shared/source/tree.ts';

const COMPLETE = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
const plain = (value: unknown) => JSON.parse(JSON.stringify(value));

describe('a text cut into chunks', () => {
  test('reads as the same values as a whole parse by the YAML library', () => {
    const file = readSource('/a', COMPLETE);
    expect(file.starts.size).toBeGreaterThan(20);
    expect(plain(plainValue(file.root))).toEqual(plain(parseDocument(COMPLETE).toJS()));
  });

  test('keeps every chunk that an edit does not touch', () => {
    const before = readSource('/a', COMPLETE);
    const after = readSource('/a', COMPLETE.replace('bore: 84 mm', 'bore: 85.5 mm'), before);
    const kept = [...after.starts.keys()].filter((chunk) => before.starts.has(chunk));
    expect(after.starts.size - kept.length).toBe(1);
  });

  test('knows the path of a node through the cuts', () => {
    const file = readSource('/a', COMPLETE);
    const steps = ['fuel', 'volumetric_efficiency', 'values', 2, 1];
    const node = nodeAtPath(file.root, steps)!;
    expect(pathText(pathOf(node))).toBe('fuel.volumetric_efficiency.values[2][1]');
    expect(file.text.slice(file.starts.get(node.chunk)! + node.start).startsWith('81')).toBe(true);
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
