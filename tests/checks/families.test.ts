import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { allChecks, families } from '../../shared/checks/registry.ts';
import { fixtureNames } from '../support/fixture.ts';

test('every family has a test file, which reads the fixtures of its checks', () => {
  const files = readdirSync(new URL('families/', import.meta.url));
  expect(files.sort()).toEqual(families.map(({ id }) => `${id}.test.ts`).sort());
});

test('every fixture is that of a check', () => {
  const ids = allChecks.map(({ id }) => id);
  expect(fixtureNames('checks').filter((name) => !ids.includes(name.replace(/\.yaml$/, '')))).toEqual([]);
});
