import { describe, expect, test } from 'vitest';
import { steeringSensors } from '../../shared/derived/faults.ts';
import { enginewright } from '../support/command-line.ts';
import { analysisOf, changed, compareTexts, complete, edited, told, valuesIn } from './pair.ts';
import { twoStates } from './states.ts';

const compare = (...args: string[]) => enginewright('compare', ...args, '--time', '0');

describe('a new scaling', () => {
  const scaled = changed([
    'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs }',
    'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs }',
  ]);

  test('says what the same input reads now', () => {
    expect(told(scaled)).toContainEqual(
      expect.stringContaining('the same input reads 300 instead of 250 kPa abs at 4.65 V'),
    );
  });

  test('says what fuel and spark become if the sensor was not replaced', () => {
    const lambda = scaled.consequences.find(
      (one) => one.type === 'value' && one.id === 'target_lambda_with_old_manifold_pressure',
    );
    // The controller reads a higher pressure than there is, and injects too much.
    expect(lambda).toMatchObject({ isConditional: true });
    if (lambda?.type !== 'value') throw new Error('no value');
    expect(lambda.is!.canonical).toBeLessThan(lambda.was!.canonical);
    expect(lambda.point).toMatch(/^\w+, reads \d+ kPa abs$/);
  });

  /** Which values hold only if the sensor was not replaced, where its curve changes from one text to the other. */
  const conditional = (
    name: string,
    [from, to]: readonly [string, string],
    ...both: readonly (readonly [string, string])[]
  ) => {
    const was = edited(complete, both);
    const values = valuesIn(compareTexts(was, edited(was, [[from, to]])));
    return values.filter(({ id, isConditional }) => isConditional && id.endsWith(`_with_old_${name}`));
  };
  const map = ['0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs', '0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs'] as const;
  const air = (name: string, measures: string) =>
    `  ${name}:\n    measures: ${measures}\n    kind: ratiometric\n    pin: A4\n    supply: 5 V\n    scaling: { 0.5 V: -40 °C, 4.5 V: 160 °C }\n  oil_pressure:\n`;
  const warmer = ['4.5 V: 160 °C', '4.5 V: 170 °C'] as const;
  const withAir = ['  oil_pressure:\n', air('air', 'intake_air_temperature')] as const;
  /** The charge temperature sensor measures something else. */
  const noCharge = ['    measures: charge_temperature\n', '    measures: oil_temperature\n'] as const;

  test.each([
    ['a sensor alone', conditional('manifold_pressure', map), true],
    [
      'one of two of the same quantity',
      conditional('manifold_pressure', map, [
        '  oil_pressure:\n',
        '  second:\n    measures: manifold_pressure\n    kind: ratiometric\n    pin: A4\n    supply: 5 V\n    scaling: { 0 V: 0 kPa abs, 5 V: 300 kPa abs }\n  oil_pressure:\n',
      ]),
      false,
    ],
    ['the intake air in place of the charge', conditional('air', warmer, withAir, noCharge), true],
    ['the intake air beside the charge', conditional('air', warmer, withAir), false],
  ])('says that of a sensor on which fuel and spark depend: %s', (_, found, isExpected) => {
    expect(found.length > 0).toBe(isExpected);
  });

  test('concerns the fuel pressure only if a loop compensates for it', () => {
    const steering = (compensate: boolean) =>
      steeringSensors(
        analysisOf(edited(complete, [['compensate: true', `compensate: ${compensate}`]])).installation!,
      );
    expect(steering(true)).toContain('fuel_pressure');
    expect(steering(false)).toEqual(steering(true).filter((name) => name !== 'fuel_pressure'));
  });

  test('never hides a real margin behind values if the sensor was not replaced', async () => {
    const smaller = edited(complete, [['static_flow: 340 cc/min', 'static_flow: 300 cc/min']]);
    const both = edited(smaller, [
      [
        'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs }',
        'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs }',
      ],
    ]);
    const [states, alone] = [twoStates(complete, both), twoStates(complete, smaller)];
    const margins = (out: string) =>
      out.split('\n').filter((line) => /limit-closer|margin/.test(line)).length;
    for (const format of ['text', 'github', 'junit', 'sarif']) {
      const [one, two] = [
        await compare(...alone, '--format', format),
        await compare(...states, '--format', format),
      ];
      expect(margins(one.out), format).toBeGreaterThan(0);
      expect(margins(two.out), format).toBeGreaterThanOrEqual(margins(one.out));
    }
    const { out } = await compare(...states, '--format', 'json');
    const { consequences } = JSON.parse(out) as { consequences: { id: string; conditional?: true }[] };
    const conditional = consequences.filter((one) => one.conditional);
    expect(conditional.map(({ id }) => id)).toContain('target_lambda_with_old_manifold_pressure');
    expect(conditional.every(({ id }) => id.includes('_with_old_'))).toBe(true);
    // The verdict counts only what changes for certain.
    const { out: text } = await compare(...states);
    const values = consequences.filter((one) => 'id' in one && (one as { type?: string }).type === 'value');
    expect(text.replace(/\s+/g, ' ')).toContain(
      `${values.length - conditional.length} derived values changed`,
    );
    expect(text.replace(/\s+/g, ' ')).toMatch(/\d+ values? if a sensor was not replaced/);
  });
});
