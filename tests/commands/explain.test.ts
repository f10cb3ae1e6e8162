import { expect, test } from 'vitest';
import { allChecks } from '../../shared/checks/registry.ts';
import { enginewright } from '../support/command-line.ts';

test('alone it lists every check with its title', async () => {
  const { status, out } = await enginewright('explain');
  expect(status).toBe(0);
  const words = out.replace(/\s+/g, ' ');
  for (const { id, title } of allChecks) expect(words).toContain(`${id} ${title}`);
});

test.each(allChecks.map((check) => [check.id, check] as const))(
  '%s: every part of its page is printed',
  async (id, check) => {
    const { status, out } = await enginewright('explain', id);
    expect(status).toBe(0);
    const words = out.replace(/\s+/g, ' ');
    const { catches, why, example, remedy, basis } = check.page;
    for (const part of [check.title, catches, why, example, remedy, basis]) {
      expect(words).toContain(part.trim().replace(/\s+/g, ' '));
    }
    for (const [name, { value, meaning }] of Object.entries(check.settings ?? {})) {
      expect(words).toContain(`${name}: ${value} ${meaning.replace(/\s+/g, ' ')}`);
    }
  },
);

test('an id that is not quite right is answered with those that are near', async () => {
  const { err } = await enginewright('explain', 'injector-duty');
  expect(err).toContain('`injector-duty-high`');
});
