import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

/** An installation whose pump has little margin: a warning, no error. */
const weak = completeEngine.replace('pump_flow: 110', 'pump_flow: 35');

function workshop(engine = weak) {
  const folder = folderOf({ 'a.engine.yaml': engine, 'complete.controller.yaml': completeController });
  const engineFile = join(folder, 'a.engine.yaml');
  const baseline = join(folder, 'known.json');
  const check = (...more: string[]) => enginewright('check', folder, '--fail-on', 'warning', ...more);
  return { folder, engineFile, baseline, check };
}

test('findings of today pass tomorrow, wherever their lines are', async () => {
  const { engineFile, baseline, check } = workshop();
  expect((await check()).status).toBe(1);
  const written = await check('--write-baseline', baseline);
  expect(written).toMatchObject({ status: 0, err: expect.stringMatching(/\d findings? written to/) });
  writeFileSync(engineFile, weak.replace('enginefile: 1', '# a line more\n\nenginefile: 1'));
  const { status, out, err } = await check('--baseline', baseline);
  expect({ status, err }).toEqual({
    status: 0,
    err: expect.stringMatching(/\d+ findings? ignored \(listed in .*known\.json\)/),
  });
  expect(out).not.toContain('pump-margin');
});

test('a value that was changed and is still at fault is a new finding, and the old one is gone', async () => {
  const { engineFile, baseline, check } = workshop();
  await check('--write-baseline', baseline);
  writeFileSync(engineFile, weak.replace('pump_flow: 35', 'pump_flow: 34.9'));
  const { status, out, err } = await check('--baseline', baseline);
  expect(status).toBe(1);
  expect(out).toContain('pump-margin');
  expect(err).toMatch(/known\.json lists \d+ findings? that no longer exists?; update it/);
});

test('a listed finding is new again if another value moves its numbers', async () => {
  const { engineFile, baseline, check } = workshop();
  await check('--write-baseline', baseline);
  writeFileSync(engineFile, weak.replace('bore: 84 mm', 'bore: 85 mm'));
  const { status, out } = await check('--baseline', baseline);
  expect(status).toBe(1);
  expect(out).toContain('pump-margin');
});

test('a finding beside the known ones is new', async () => {
  const { engineFile, baseline, check } = workshop();
  await check('--write-baseline', baseline);
  writeFileSync(engineFile, weak.replace('bore:', 'boer: 1\n  bore:'));
  const { status, out } = await check('--baseline', baseline);
  expect(status).toBe(1);
  expect(out).toContain('unknown-key');
  expect(out).not.toContain('pump-margin');
});

test('of findings that are listed as one, a further one is new, and one that stays behind is known', async () => {
  const dark = completeEngine.replace(/ {2}warning_light:.*\n/, '');
  const { engineFile, baseline, check } = workshop(dark);
  await check('--write-baseline', baseline);
  expect(readFileSync(baseline, 'utf8').match(/light-missing/g)).toHaveLength(2);
  const hot =
    '  oil_hot: { watches: oil_temperature, above: { warning: 120 °C }, hysteresis: 3 K, action: [light] }\n';
  writeFileSync(engineFile, dark.replace(/^protection:\n/m, `protection:\n${hot}`));
  const more = await check('--baseline', baseline);
  expect(more.status).toBe(1);
  expect(more.out).toContain("'oil_hot' needs a light");
  expect(more.out).not.toContain("'overspeed' needs a light");
  // The first finding, which had been merged with the other one, is gone; that does not make the other one new.
  writeFileSync(
    engineFile,
    dark.replace('delay: 1.5 s\n    action: [light]', 'delay: 1.5 s\n    action: [limp]'),
  );
  expect((await check('--baseline', baseline)).status).toBe(0);
});

test('a baseline names files from its own folder and says what it lets pass, a line a finding', async () => {
  const { folder, check } = workshop();
  mkdirSync(join(folder, 'ci'));
  const baseline = join(folder, 'ci', 'known.json');
  await check('--write-baseline', baseline);
  const text = readFileSync(baseline, 'utf8');
  expect(text).toMatch(/^ {4}\{"file":"\.\.\/a\.engine\.yaml","rule":"pump-margin","path":"[^"]+",/m);
  expect(JSON.parse(text)).toMatchObject({ baselinefile: 1 });
  expect((await check('--baseline', baseline)).status).toBe(0);
});

test('what no comment may accept no baseline lets pass', async () => {
  const { baseline, check } = workshop(`${weak}\nengine: {}\n`);
  const { status, out } = await check('--write-baseline', baseline);
  expect(status).toBe(1);
  expect(out).toContain('duplicate-key');
  expect(readFileSync(baseline, 'utf8')).not.toContain('duplicate-key');
});

describe('a baseline is written whole or not at all', () => {
  test('not where a file could not be checked', async () => {
    const { baseline, check } = workshop();
    const { status, err } = await check('gone.engine.yaml', '--write-baseline', baseline);
    expect(status).toBe(2);
    expect(err).toContain('Cannot read gone.engine.yaml');
    expect(existsSync(baseline)).toBe(false);
  });

  test('not where a folder has its name, and nothing is left beside it', async () => {
    const { folder, baseline, check } = workshop();
    mkdirSync(baseline);
    const { status, err } = await check('--write-baseline', baseline);
    expect({ status, err }).toEqual({ status: 2, err: expect.stringContaining('it is a folder') });
    expect(readdirSync(folder)).toEqual(['a.engine.yaml', 'complete.controller.yaml', 'known.json']);
  });

  test('through a link, which stays one', async () => {
    const { folder, baseline, check } = workshop();
    writeFileSync(join(folder, 'real.json'), 'old');
    symlinkSync('real.json', baseline);
    expect((await check('--write-baseline', baseline)).status).toBe(0);
    expect(readFileSync(join(folder, 'real.json'), 'utf8')).toContain('pump-margin');
  });
});

describe('a baseline that cannot be used is refused', () => {
  test.each([
    ['that is not JSON', '{', /it is not JSON/],
    ['of another kind', '{"findings": []}', /is not a baseline of this version/],
    ['of a later version', '{"baselinefile": 2, "findings": []}', /is not a baseline of this version/],
    ['with a damaged entry', '{"baselinefile": 1, "findings": [{"rule": "x"}]}', /is damaged/],
    ['that is null', 'null', /is not a baseline of this version/],
  ])('%s', async (_, text, message) => {
    const { baseline, check } = workshop();
    writeFileSync(baseline, text);
    const { status, out, err } = await check('--baseline', baseline);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(message);
  });

  test('that is not there, or beside one to be written', async () => {
    const { baseline, check } = workshop();
    expect(await check('--baseline', baseline)).toMatchObject({
      status: 2,
      err: expect.stringContaining('no such file'),
    });
    const both = await check('--baseline', baseline, '--write-baseline', baseline);
    expect(both).toMatchObject({ status: 2, err: expect.stringContaining('not both') });
  });
});
