import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { checkReference } from '../../shared/checks/reference.ts';
import { allChecks } from '../../shared/checks/registry.ts';
import { isFault, parseAs } from '../../shared/quantity/index.ts';
import { readSource } from '../../shared/source/source-file.ts';

test('docs/checks.md says what the checks say; if not, `npm run docs` writes it anew', () => {
  expect(readFileSync(new URL('../../docs/checks.md', import.meta.url), 'utf8')).toBe(checkReference());
});

test('no two checks share an id', () => {
  const ids = allChecks.map(({ id }) => id);
  expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([]);
});

const SENTENCES = /^[A-Z0-9`].*[.]$/s;

test.each(allChecks.map((check) => [check.id, check] as const))(
  '%s has a page worth reading',
  (id, check) => {
    expect(id).toMatch(/^[a-z][a-z0-9]*(-[a-z0-9]+)*$/);
    expect(check.title).toMatch(/^[A-Z].*[^.]$/);
    const { catches, why, example, remedy, basis } = check.page;
    for (const text of [catches, why, remedy, basis]) expect(text).toMatch(SENTENCES);
    expect(why.length).toBeGreaterThan(60);
    expect(example.trim()).not.toBe('');
    // An example that cannot be read is allowed only if the check is about that.
    const isUnreadable = readSource('/example', example).faults.some(({ rule }) => rule === 'syntax-error');
    if (id !== 'syntax-error') expect(isUnreadable).toBe(false);
    for (const [name, { kind, value }] of Object.entries(check.settings ?? {})) {
      expect(name).toMatch(/^[a-z][a-z_]*$/);
      expect(isFault(parseAs(kind, value)), value).toBe(false);
    }
  },
);
