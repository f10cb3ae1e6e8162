import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { allOfPoint, allValues } from '../../shared/derived/registry.ts';

/**
 * Compares the core chain with an independent calculation: the same definitions written again in Python, with plain
 * numbers in SI (ISO 2533 constants, γ = 1.4, R = 287.05). Tables were interpolated there too. Eight digits are kept.
 */
const expected: Record<string, Record<string, Record<string, number>>> = JSON.parse(
  readFileSync(new URL('core-chain.values.json', import.meta.url), 'utf8'),
);

const TOLERANCE = 1e-6;

function derivationOf(name: string) {
  const text = readFileSync(new URL(`../fixtures/derive/${name}.engine.yaml`, import.meta.url), 'utf8');
  const path = `/installation/${name}.engine.yaml`;
  return analyse(
    createProject((asked) => (asked === path ? text : undefined)),
    path,
  )!.derivation!;
}

describe.each(Object.entries(expected))('%s engine', (name, points) => {
  const derivation = derivationOf(name);

  test.each(Object.entries(points))('at %s', (point, values) => {
    const derived = new Map(allOfPoint(derivation.point(point)!).map((value) => [value.id, value]));
    for (const [id, number] of Object.entries(values)) {
      const { reported } = derived.get(id) ?? { reported: undefined };
      expect(reported, id).toBeDefined();
      expect(
        Math.abs(reported!.value - number),
        `${id}: ${reported!.value} ${reported!.unit}, not ${number}`,
      ).toBeLessThanOrEqual(Math.abs(number) * TOLERANCE + 1e-9);
    }
  });

  test('every value tells its formula, its numbers and its source', () => {
    for (const value of allValues(derivation)) {
      expect(value.formula).toContain(' = ');
      expect(value.substituted).toMatch(/\d/);
      expect(value.sources.length).toBeGreaterThan(0);
      expect(value.at).not.toBe('');
    }
  });
});
