import { describe, expect, test } from 'vitest';
import { explanationOf } from '../../server/features/installation-explanation.ts';
import { engineOf, installationViewOf } from '../../server/features/installation-view.ts';
import { placesOf } from '../../server/features/installation-view-places.ts';
import type { Explanation } from '../../server/features/installation-view-types.ts';
import { readSettings } from '../../server/settings.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { analysed, editor, OVERLAY } from './marked.ts';
import { shop } from './shop.ts';

const { units } = readSettings({});

const explained = (analysis: Analysis, value: string, ...through: number[]): Explanation | null =>
  explanationOf(analysis, { value, through }, units, placesOf(analysis, editor));

const DISPLACEMENT = 'enginefile: 1\nengine: { cylinders: 4, bore: 84 mm, stroke: 55 mm }\n';

describe('how a value came about', () => {
  test('with formula, numbers, source, and the line of each that is written', () => {
    const analysis = analysed(DISPLACEMENT);
    const cylinder = explained(analysis, 'cylinder_volume engine.stroke')!;
    expect(cylinder).toMatchObject({ label: 'Cylinder volume', trail: [] });
    expect(cylinder.substituted).toContain('84 mm');
    expect(cylinder.sources.join()).not.toBe('');
    const bore = cylinder.inputs.find(({ text }) => text === '84 mm')!;
    expect(bore).toMatchObject({ isDerived: false, place: { name: 'engine.bore' } });
    expect(bore.place!.range.start).toEqual({
      line: 1,
      character: DISPLACEMENT.split('\n')[1]!.indexOf('84 mm'),
    });
  });

  test('with the numbers outside the range of the formula', () => {
    const analysis = analysed(DISPLACEMENT.replace('84 mm', '0.5 m'));
    expect(explained(analysis, 'cylinder_volume engine.stroke')!.notes).toEqual([
      'bore 500 mm is outside 20 to 400 mm, the range in which this formula is meant to hold',
    ]);
    expect(explained(analysed(DISPLACEMENT), 'cylinder_volume engine.stroke')!.notes).toEqual([]);
  });

  test('and of what it follows from in turn, with the way back', () => {
    const analysis = analysed(OVERLAY);
    const name = 'injector_duty operating_points.cruise';
    const duty = explained(analysis, name)!;
    const pulse = duty.inputs.findIndex(({ label }) => label === 'Injector pulse width');
    const inside = explained(analysis, name, pulse)!;
    expect(inside).toMatchObject({ label: 'Injector pulse width', trail: ['Injector duty'] });
    expect(inside.text).toBe(duty.inputs[pulse]!.text);
    expect(inside.sources[0]).toMatch(/^SAE J1832: .* \[from memory: only its list of terms was read/);
    const fuel = inside.inputs.findIndex(({ isDerived }) => isDerived);
    expect(explained(analysis, name, pulse, fuel)!.trail).toEqual(['Injector duty', 'Injector pulse width']);
  });

  test('of every value that the panel shows, and of every input that follows from others', () => {
    const analysis = analysed(OVERLAY);
    const { values } = installationViewOf(analysis, editor)!;
    const cells = values.rows.flatMap(({ cells }) => cells.flatMap((cell) => cell?.value ?? []));
    const names = [...cells, ...values.whole.map(({ value }) => value)];
    expect(names.length).toBeGreaterThan(100);
    for (const name of names) {
      const found = explained(analysis, name);
      expect(found?.sources.length, name).toBeGreaterThan(0);
      found!.inputs.forEach(({ isDerived, label }, i) => {
        expect(explained(analysis, name, i)?.label ?? null, `${name}, ${i}`).toBe(isDerived ? label : null);
      });
    }
  });

  test('by a name that stays while the text above it changes', () => {
    const before = analysed(DISPLACEMENT);
    const after = analysed(`# a comment\ntitle: above\n${DISPLACEMENT}`);
    const [name] = installationViewOf(before, editor)!.values.whole.map(({ value }) => value);
    expect(explained(after, name!)).toMatchObject({ text: explained(before, name!)!.text });
  });

  test('in the units that the reader prefers, in the working as well', () => {
    const { units } = readSettings({ units: ['psi'] });
    const analysis = analysed(OVERLAY);
    const asked = { value: 'manifold_pressure operating_points.take_off', through: [] };
    const found = explanationOf(analysis, asked, units, placesOf(analysis, editor))!;
    expect(found.text).toMatch(/ psi abs$/);
    expect(found.substituted).toMatch(/ psi abs$/);
    expect(found.inputs.every(({ text }) => text.endsWith('psi abs'))).toBe(true);
  });

  test('not of a value that no longer follows', () => {
    const half = analysed(DISPLACEMENT.replace('84 mm', ''));
    expect(explained(half, 'cylinder_volume engine.stroke')).toBeNull();
    expect(explained(analysed(DISPLACEMENT), 'cylinder_volume engine.stroke', 99)).toBeNull();
  });
});

test('a controller file is seen with the engine that names it', () => {
  const { analysis, workspace } = shop(
    `#-- a.engine.yaml\nenginefile: 1\ntitle: First\ncontroller: ./b.controller.yaml\n#-- b.controller.yaml\ncontrollerfile: 1\n$0`,
  );
  expect(analysis.kind).toBe('controller');
  expect(installationViewOf(engineOf(analysis, workspace), editor)?.title).toBe('First');
});
