import { expect, test } from 'vitest';
import { markdownText } from '../../server/formats/markdown-text.ts';
import { plainText } from '../../server/plain-text.ts';
import { styleOf } from '../../server/terminal.ts';
import { allChecks } from '../../shared/checks/registry.ts';
import { enginewright } from '../support/command-line.ts';

test('alone it lists every check with its title', async () => {
  const { status, out } = await enginewright('explain');
  expect(status).toBe(0);
  const words = out.replace(/\s+/g, ' ');
  for (const { id, title } of allChecks) expect(words).toContain(`${id} ${plainText(title)}`);
});

test.each(allChecks.map((check) => [check.id, check] as const))(
  '%s has a page to print',
  async (id, check) => {
    const { status, out } = await enginewright('explain', id);
    expect(status).toBe(0);
    const words = out.replace(/\s+/g, ' ');
    const { catches, why, example, remedy, basis } = check.page;
    const settings = Object.values(check.settings ?? {}).map(({ meaning }) => meaning);
    const prose = [check.title, catches, why, remedy, basis, ...settings].map(plainText);
    for (const part of [example, ...prose]) expect(words).toContain(part.trim().replace(/\s+/g, ' '));
  },
);

test('an id that is not quite right is answered with those that are near, the nearest first', async () => {
  const { err } = await enginewright('explain', 'injector-duty-too-high');
  expect(err).toContain("Unknown check 'injector-duty-too-high'. Similar: 'injector-duty-high'");
});

test('a page is laid out for a terminal', () => {
  const page =
    '# Title\n\nA text that is longer than the line may be.\n\n```yaml\na: 1\n\nb: 2\n```\n\n- one\n- two\n';
  expect(markdownText(page, { width: 30, style: styleOf(false) })).toBe(`Title

  A text that is longer than
  the line may be.

    a: 1

    b: 2

  - one
  - two
`);
});
