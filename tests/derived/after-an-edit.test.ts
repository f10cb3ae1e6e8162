import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import { createProject, type Project } from '../../shared/configuration/project.ts';
import { volumetricEfficiency } from '../../shared/derived/fuel.ts';
import { allOfPoint, fileValues } from '../../shared/derived/registry.ts';
import { sensitivitiesOf } from '../../shared/derived/sensitivity.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { offsetsOf } from '../../shared/source/source-file.ts';

const FIXTURES = new URL('../fixtures/', import.meta.url);
const PATH = '/complete.engine.yaml';
const COMPLETE = readFileSync(new URL('complete.engine.yaml', FIXTURES), 'utf8');

describe('an operating point, after an edit', () => {
  let project: Project;
  let before: Analysis;
  beforeEach(() => {
    project = createProject((path) => readFileSync(new URL(`.${path}`, FIXTURES), 'utf8'));
    before = edited(COMPLETE);
  });
  const edited = (text: string, earlier?: Analysis) => {
    project.rewrite(PATH, [{ text }]);
    return analyse(project, PATH, earlier)!;
  };
  const withFilling = (row: string, other: string) => edited(COMPLETE.replace(row, other), before);
  const cruise = ({ derivation }: Analysis) => derivation!.point('cruise')!;

  // Cruise is at 4600 rpm and 105 kPa: between 3000 and 5000 rpm, and between 100 and 180 kPa.
  test('has the numbers that it had where it read no cell that changed, each in its own text', () => {
    const filling = cruise(before).get(volumetricEfficiency)!;
    const after = withFilling('- [48, 56, 60, 57]', '- [48.5, 56, 60, 57]');
    const same = cruise(after).get(volumetricEfficiency)!;
    expect(same.canonical).toBe(filling.canonical);
    expect(same.substituted).toContain('table at 4600 rpm, 105 kPa abs');
    const tableText = ({ file }: Analysis, { inputs: [input] }: DerivedValue) =>
      file.text.slice(offsetsOf(file, input!.node!).start);
    expect(tableText(after, same)).toMatch(/^x: \{ quantity: engine_speed[\s\S]*48\.5/);
    expect(tableText(before, filling)).toMatch(/^x: \{ quantity: engine_speed/);
    expect(tableText(before, filling)).not.toContain('48.5');
  });

  test('moves with the tables of its own text, also where a failed sensor changes one that it took over', () => {
    const moved = ({ derivation, file }: Analysis) =>
      fileValues
        .flatMap((definition) => derivation!.get(definition))
        .filter(({ id }) => id.startsWith('lambda_with_'))
        .map((value) => [
          value.id,
          sensitivitiesOf(value).map(({ node, at, percentPerPercent }) => {
            expect(file.chunks.has(node.chunk), at).toBe(true);
            return [at, percentPerPercent];
          }),
        ]);
    moved(before);
    const after = withFilling('- [48, 56, 60, 57]', '- [48.5, 56, 60, 57]');
    const found = moved(after);
    expect(found.length).toBeGreaterThan(0);
    project.forget(PATH);
    expect(found).toEqual(moved(edited(after.file.text)));
  });

  test('that nothing was changed for is the same point', () => {
    const after = withFilling('title: ', 'title: Another ');
    expect(after.file).not.toBe(before.file);
    expect(cruise(after)).toBe(cruise(before));
  });

  test.each([
    ['a cell that it read', '- [71, 81, 86, 83]', '- [71, 81, 87, 83]'],
    ['the axis', 'breakpoints: [1000, 3000, 5000, 6000]', 'breakpoints: [1000, 3000, 5100, 6000]'],
    [
      'the unit of the axis',
      'unit: kPa abs, breakpoints: [30, 60, 100, 180]',
      'unit: kPa gauge, breakpoints: [30, 60, 100, 180]',
    ],
    ['another value of its fuel', 'grade: ', 'stoichiometric_ratio: 14.2\n  grade: '],
  ])('is derived anew where %s changed', (_, row, other) => {
    expect(COMPLETE).toContain(row);
    const numbers = (analysis: Analysis) => allOfPoint(cruise(analysis)).map(({ canonical }) => canonical);
    const old = numbers(before);
    const after = withFilling(row, other);
    project.forget(PATH);
    expect(numbers(after)).toEqual(numbers(edited(COMPLETE.replace(row, other))));
    expect(numbers(after)).not.toEqual(old);
    expect(numbers(before)).toEqual(old);
  });

  test('with one sensor failed is judged anew where only what the controller assumes reads the cell', () => {
    const low = COMPLETE.replace('substitute: 140 kPa abs', 'substitute: 50 kPa abs');
    const other = low.replace('- [60, 69, 73, 70]', '- [55, 64, 68, 65]');
    expect(other).not.toBe(low);
    const lean = ({ findings }: Analysis) =>
      findings.filter(({ rule }) => rule === 'single-fault-beyond-limit').map(({ message }) => message);
    const first = edited(low);
    const after = edited(other, first);
    expect(lean(after)).not.toEqual(lean(first));
    project.forget(PATH);
    expect(lean(after)).toEqual(lean(edited(other)));
  });
});
