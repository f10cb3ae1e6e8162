import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';
import { complete, completeController, edited } from './pair.ts';
import { CONTROLLER, compared, richer, twoStates, weaker } from './states.ts';

describe('two files', () => {
  test('that say the same have nothing to tell', async () => {
    const { status, changes, consequences } = await compared(
      ...twoStates(complete, `# read again\n${complete}`),
    );
    expect({ status, changes, consequences }).toEqual({ status: 0, changes: [], consequences: [] });
  });

  test('with a new error make the status 1, the other way round 0', async () => {
    const states = twoStates(complete, weaker);
    expect((await compared(...states)).status).toBe(1);
    expect((await compared(states[1], states[0])).status).toBe(0);
  });

  test('with a new warning make the status 1 where that is asked for', async () => {
    const rough = edited(complete, [['overboost_cut: 160 kPa abs', 'overboost_cut: 146.5 kPa abs']]);
    const states = twoStates(complete, rough);
    const { status, consequences } = await compared(...states);
    expect(consequences).toContainEqual(
      expect.objectContaining({ new: 'open', severity: 'warning', rule: 'overboost-margin' }),
    );
    expect(status).toBe(0);
    expect((await compared(...states, '--fail-on', 'warning')).status).toBe(1);
  });

  test('bring the controller files that they name', async () => {
    const other = edited(completeController, [['maximum_current: 4 A', 'maximum_current: 3 A']]);
    const folder = folderOf({
      'a/x.engine.yaml': complete,
      'a/complete.controller.yaml': completeController,
      'b/x.engine.yaml': complete,
      'b/complete.controller.yaml': other,
    });
    const { changes } = await compared(join(folder, 'a/x.engine.yaml'), join(folder, 'b/x.engine.yaml'));
    expect(changes).toMatchObject([
      { type: 'value', path: 'pins.C1.maximum_current', old: '4 A', new: '3 A' },
    ]);
  });

  test('bring the controller file of the standby, too', async () => {
    const [engine, active, standby] = ['wired.engine', 'wired.controller', 'standby.controller'].map((name) =>
      readFileSync(new URL(`../fixtures/${name}.yaml`, import.meta.url), 'utf8'),
    ) as [string, string, string];
    const files = (side: string, first: string, second: string) => ({
      [`${side}/wired.engine.yaml`]: engine,
      [`${side}/wired.controller.yaml`]: first,
      [`${side}/standby.controller.yaml`]: second,
    });
    const folder = folderOf({
      ...files('a', active, standby),
      ...files('b', `${active}# read again\n`, edited(standby, [['supply: 6..18 V', 'supply: 6..17 V']])),
    });
    const { changes } = await compared(
      ...['a', 'b'].map((side) => join(folder, side, 'wired.engine.yaml')),
      ...['--time', '0'],
    );
    expect(changes).toMatchObject([{ path: 'supply', old: '6..18 V', new: '6..17 V' }]);
    expect(changes[0]!.file).toMatch(/standby\.controller\.yaml$/);
  });
});

test('JSON tells values in the unit that people read, and a map as rows of deltas', async () => {
  const { changes } = await compared(
    ...twoStates(complete, edited(richer, [['bore: 84 mm', 'bore: 8.5 cm']])),
  );
  const [map, bore] = changes;
  expect(map).toMatchObject({
    type: 'table',
    area: 'Fuel',
    path: 'fuel.target_lambda',
    grid: {
      resampled: false,
      moved: 2,
      cells: 9,
      rise: null,
      fall: { row: 2, column: 0 },
      x: { quantity: 'engine_speed', unit: 'rpm', breakpoints: [1000, 3000, 6000] },
      old: [
        [1, 1, 0.98],
        [0.95, 0.93, 0.9],
        [0.86, 0.84, 0.8],
      ],
      delta: [
        [0, 0, 0],
        [0, 0, 0],
        [expect.closeTo(-0.01, 9), 0, expect.closeTo(-0.01, 9)],
      ],
    },
  });
  expect(bore).toMatchObject({
    old: '84 mm',
    new: '8.5 cm',
    difference: { value: expect.closeTo(0.1, 9), unit: 'cm', percent: expect.closeTo(100 / 84, 9) },
    newStart: { line: complete.split('\n').findIndex((line) => line.includes('bore:')), character: 2 },
  });
});

describe('two folders', () => {
  test('are compared file by file, with those that came, went or moved', async () => {
    const folder = folderOf({
      'a/complete.controller.yaml': completeController,
      'a/kept.engine.yaml': complete,
      'a/gone.engine.yaml': complete,
      'a/deep/moved.engine.yaml': complete,
      'b/complete.controller.yaml': completeController,
      'b/kept.engine.yaml': richer,
      'b/new.engine.yaml': 'enginefile: 1\nbased_on: ./kept.engine.yaml\nrevision: X\n',
      'b/moved.engine.yaml': complete,
    });
    const { changes } = await compared(join(folder, 'a'), join(folder, 'b'));
    const told = changes.map(
      ({ file, type, path }) => `${type} ${path || 'file'} ${file.slice(folder.length)}`,
    );
    expect(told.sort()).toEqual([
      'added file /b/new.engine.yaml',
      'removed file /a/gone.engine.yaml',
      'table fuel.target_lambda /b/kept.engine.yaml',
    ]);
  });

  test.each(['before', 'behind'])(
    'tell a change of a base %s its overlays once, and its consequences once where they are the same',
    async (place) => {
      const overlay = 'enginefile: 1\nbased_on: ./base.engine.yaml\nrevision: X\n';
      const name = place === 'before' ? 'over.engine.yaml' : 'another.engine.yaml';
      const [a, b] = [complete, weaker].map((base) =>
        folderOf({ ...CONTROLLER, 'base.engine.yaml': base, [name]: overlay }),
      ) as [string, string];
      const { out } = await enginewright('compare', a, b);
      expect(out.match(/Static flow {2}340 cc\/min → 120 cc\/min/g)).toHaveLength(1);
      expect(out.replace(/\s+/g, ' ')).toMatch(/As \S*base\.engine\.yaml: \S*(over|another)\.engine\.yaml/);
      expect(out.match(/injector-duty-over-100/g)).toHaveLength(1);
    },
  );
});

describe('refusals', () => {
  test.each([
    [[], "'compare' takes OLD and NEW, or 'REV..REV'."],
    [['nowhere.engine.yaml', 'x'], 'Cannot read nowhere.engine.yaml: no such file or folder.'],
    [['../nowhere.engine.yaml', 'x'], 'Cannot read ../nowhere.engine.yaml: no such file or folder.'],
  ] as const)('%j', async (args, sentence) => {
    const { status, out, err } = await enginewright('compare', ...args);
    expect({ status, out, err }).toEqual({ status: 2, out: '', err: `enginewright: ${sentence}\n` });
  });

  test('a file and a folder, or one state alone', async () => {
    const folder = folderOf({ ...CONTROLLER, 'x.engine.yaml': complete });
    const file = join(folder, 'x.engine.yaml');
    expect((await enginewright('compare', file)).err).toBe(
      `enginewright: 'compare' needs a second file or folder to compare '${file}' with.\n`,
    );
    expect((await enginewright('compare', file, folder)).err).toContain(
      'Compare a file with a file, or a folder with a folder.',
    );
  });
});
