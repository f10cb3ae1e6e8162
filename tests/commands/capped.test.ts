import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { editor } from '../features/marked.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';
import { times } from '../support/large.ts';

/** The complete engine followed by many unknown keys, each an error on its own line. */
const withUnknown = (count: number, from = 0): string =>
  completeEngine + times(count, (i) => `zz${from + i}: 1\n`);

const MORE = /(\d+) more 'unknown-key' findings\s+from\s+here\s+on\s+are\s+not\s+listed\./;

function workshop(text: string) {
  const folder = folderOf({ 'a.engine.yaml': text, 'complete.controller.yaml': completeController });
  const file = join(folder, 'a.engine.yaml');
  const baseline = join(folder, 'known.json');
  const check = (...more: string[]) => enginewright('check', file, ...more);
  return { folder, file, baseline, check, write: (changed: string) => writeFileSync(file, changed) };
}

interface Listed {
  readonly rule: string;
  readonly message: string;
  readonly leftOut?: number;
  readonly range: { readonly start: { readonly line: number } };
}

const unknownIn = (json: string): Listed[] =>
  (JSON.parse(json).files[0].findings as Listed[]).filter(({ rule }) => rule === 'unknown-key');

describe('of many findings of one check', () => {
  test('a file lists the first hundred and says at the next how many more there are', async () => {
    const { check } = workshop(withUnknown(150));
    const listed = unknownIn((await check('--format', 'json')).out);
    expect(listed).toHaveLength(101);
    const last = listed.at(-1)!;
    expect(last).toMatchObject({ leftOut: 50, message: expect.stringMatching(MORE) });
    expect(last.range.start.line).toBe(completeEngine.split('\n').length - 1 + 100);
    expect(listed.slice(0, 100).every(({ leftOut }) => leftOut === undefined)).toBe(true);
  });

  test('a hundred and one are listed, as the last takes no more room than what would stand for it', async () => {
    const { check } = workshop(withUnknown(101));
    const { out } = await check();
    expect(out.match(/unknown-key\n/g)).toHaveLength(101);
    expect(out).not.toMatch(MORE);
  });

  test('the count at the end is of all of them', async () => {
    const { status, out } = await workshop(withUnknown(150)).check();
    expect(status).toBe(1);
    expect(out).toMatch(/1 file checked: 150 errors/);
    expect(MORE.exec(out)![1]).toBe('50');
  });

  test.each(['sarif', 'junit', 'github'])('%s lists the same', async (format) => {
    const { out } = await workshop(withUnknown(150)).check('--format', format);
    expect(MORE.exec(out.replaceAll('&apos;', "'").replaceAll('&#39;', "'"))![1]).toBe('50');
    expect(out).toContain('zz99');
    expect(out).not.toContain('zz101');
  });

  test('an editor underlines the same', () => {
    const text = withUnknown(150);
    const path = '/installation/a.engine.yaml';
    const project = createProject((asked) => (asked === path ? text : completeController));
    const shown = diagnosticsOf(analyse(project, path)!, editor).filter(({ code }) => code === 'unknown-key');
    expect(shown).toHaveLength(101);
    expect(shown.at(-1)!.message).toMatch(MORE);
  });

  test('each that a comment accepts is accepted, and none of the others', async () => {
    const accepted = times(120, (i) => `# accept unknown-key: known to us\nzz${i}: 1\n`);
    const { status, out } = await workshop(`${completeEngine}${accepted}zz120: 1\n`).check();
    expect(status).toBe(1);
    expect(out).toMatch(/1 error.*120 findings accepted/);
    expect(out).toContain('zz120');
  });
});

describe('a baseline of many findings of one check', () => {
  test('holds all of them, and lets no other pass', async () => {
    const { check, baseline, write } = workshop(withUnknown(150));
    expect(await check('--write-baseline', baseline)).toMatchObject({ status: 0 });
    expect(await check('--baseline', baseline)).toMatchObject({ status: 0 });
    write(withUnknown(151));
    const { status, out } = await check('--baseline', baseline);
    expect(status).toBe(1);
    expect(out).toContain('zz150');
    expect(out).toMatch(/checked: 1 error/);
  });

  test('lets those that were not listed pass where those before them are gone', async () => {
    const { check, baseline, write } = workshop(withUnknown(150));
    await check('--write-baseline', baseline);
    write(withUnknown(100, 50));
    const { status, err } = await check('--baseline', baseline);
    expect(status).toBe(0);
    expect(err).toMatch(/lists 50 findings that no longer exist;/);
  });
});

describe('a comparison of files with many findings of one check', () => {
  const compare = async (old: string, now: string, ...more: string[]) => {
    const folder = folderOf({
      'old/a.engine.yaml': old,
      'new/a.engine.yaml': now,
      'old/complete.controller.yaml': completeController,
      'new/complete.controller.yaml': completeController,
    });
    return enginewright('compare', join(folder, 'old'), join(folder, 'new'), ...more);
  };

  test('finds the one that came, though neither file lists it', async () => {
    const { status, out } = await compare(withUnknown(150), withUnknown(151), '--format', 'json');
    const found = JSON.parse(out).consequences.filter(({ type }: { type: string }) => type === 'finding');
    expect(status).toBe(1);
    expect(found).toMatchObject([
      { rule: 'unknown-key', new: 'open', message: expect.stringMatching(/'zz150'/) },
    ]);
  });

  test('calls none new that was only not listed before', async () => {
    const { status } = await compare(withUnknown(150), withUnknown(149, 1));
    expect(status).toBe(0);
  });

  test('lists of the new ones as many as a file would', async () => {
    const { status, out } = await compare(completeEngine, withUnknown(150), '--format', 'json');
    const found = JSON.parse(out).consequences.filter(
      ({ rule }: { rule?: string }) => rule === 'unknown-key',
    );
    expect(status).toBe(1);
    expect(found).toHaveLength(101);
    expect(found.at(-1)).toMatchObject({ leftOut: 50, message: expect.stringMatching(MORE) });
    const printed = await compare(completeEngine, withUnknown(150));
    expect(MORE.exec(printed.out)![1]).toBe('50');
  });
});
