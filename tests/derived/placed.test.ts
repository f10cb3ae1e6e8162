import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { fileValues, valuesAt } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { SAMPLES, sampleNames } from '../support/samples.ts';

const FIXTURES = new URL('../fixtures/', import.meta.url).pathname;
const paths = [
  ...sampleNames.map((name) => SAMPLES + name),
  ...['complete', 'every-word', 'wired'].map((name) => `${FIXTURES}${name}.engine.yaml`),
].filter((path) => path.endsWith('.engine.yaml'));
const project = createProject((path) => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
});
const derivations = paths.map((path) => analyse(project, path)!.derivation!);

const told = ({ id, canonical }: DerivedValue) => `${id} ${canonical}`;

// Only the values of its own section are requested for a place.
test('every value of the file is found at its place', () => {
  for (const derivation of derivations) {
    for (const definition of fileValues) {
      for (const value of derivation.get(definition)) {
        expect(valuesAt(derivation, value.node).map(told), value.at).toContain(told(value));
      }
    }
  }
});

test('every operating point is found at its place', () => {
  const points = derivations.flatMap((derivation) =>
    derivation.points.map((point) => ({ derivation, point })),
  );
  expect(points.length).toBeGreaterThan(20);
  for (const { derivation, point } of points) expect(derivation.pointAt(point.node)).toBe(point);
});

test('each kind of value is derived somewhere in the samples and fixtures', () => {
  const seen = new Set(derivations.flatMap((one) => fileValues.filter((value) => one.get(value).length > 0)));
  expect(fileValues.filter((value) => !seen.has(value)).map(({ id }) => id)).toEqual([]);
});
