import { describe, expect, test } from 'vitest';
import { nodeAtOffset, readSource } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import { sampleNames, sampleText } from '../support/samples.ts';

/** The same by linear search. */
function deepest(node: Node, at: number): Node | undefined {
  const children =
    node.type === 'mapping'
      ? node.entries.flatMap(({ key, value }) => [key, value])
      : node.type === 'sequence'
        ? node.items
        : [];
  const own = children.filter((child) => child.chunk === node.chunk && child.parent === node);
  const child = own.find(({ start, end }) => start <= at && at <= end);
  if (child) return deepest(child, at);
  return node.start <= at && at <= node.end ? node : undefined;
}

const ODD = `a: &shared [1, [2, 3], { b: , c }]
"d e": *shared
f:
  - g: *shared
    h: # nothing
  - |
    two
    lines

i: { *shared : 1, j: [k: 1, , ] }
? l
: m
`;

describe('the node at a place is the deepest that holds it', () => {
  const texts: readonly (readonly [string, string])[] = [
    ...sampleNames.map((name) => [name, sampleText(name)] as const),
    ['odd.engine.yaml', ODD],
  ];

  test.each(texts)('in %s', (name, text) => {
    const file = readSource(name, text);
    const found = Array.from({ length: text.length + 1 }, (_, at) => nodeAtOffset(file, at));
    found.forEach((node, at) => {
      const { chunk, start } = file.chunks.before(at);
      if (node !== deepest(chunk.root, at - start)) expect.fail(`another node at ${at}`);
    });
    expect(new Set(found).size).toBeGreaterThan(10);
  });
});
