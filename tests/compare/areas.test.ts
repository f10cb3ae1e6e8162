import { expect, test } from 'vitest';
import { areaOf } from '../../shared/compare/areas.ts';
import type { Item } from '../../shared/compare/item.ts';
import { controllerShape, engineShape } from '../../shared/configuration/schemas.ts';
import { SECTIONS } from '../../shared/configuration/sections.ts';

/** Sections that describe the file, not an engine or a controller. */
const ABOUT_THE_FILE = ['enginefile', 'controllerfile', 'name', 'title', 'revision', 'based_on'];

test('every section of the schemas is reviewed in an area of its own', () => {
  const sections = [...engineShape.properties.keys(), ...controllerShape.properties.keys()];
  const forgotten = sections.filter(
    (name) => areaOf({ path: [name] } as unknown as Item) === 'About the file',
  );
  expect(forgotten.filter((name) => !ABOUT_THE_FILE.includes(name))).toEqual([]);
});

test('the sections are those of the schema', () => {
  expect(SECTIONS).toEqual([...engineShape.properties.keys()]);
  expect(SECTIONS.length).toBeGreaterThan(15);
});
