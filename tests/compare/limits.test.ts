import { describe, expect, test } from 'vitest';
import { enginewright } from '../support/command-line.ts';
import { changed, complete, edited, valuesIn } from './pair.ts';
import { twoStates } from './states.ts';

describe('the margin to a limit is given', () => {
  const limitIn = (id: string, ...replacements: readonly (readonly [string, string])[]) =>
    valuesIn(changed(...replacements)).find((one) => one.id === id)?.limit;

  test('of the coil current, to the target with the tolerance of the check', () => {
    const limit = limitIn('coil_current', ['target_current: 7.0 A', 'target_current: 6.5 A']);
    expect(limit).toMatchObject({ label: 'target current plus tolerance', side: 'most' });
    expect(limit!.canonical).toBeCloseTo(6.5 * 1.15, 12);
    expect(limit!.is! - limit!.was!).toBeCloseTo(-0.5 * 1.15, 12);
  });

  test('of the coil energy at the lowest supply, to the share that is left of what is stated', () => {
    const limit = limitIn('coil_energy_at_minimum_supply', ['energy: 70 mJ', 'energy: 80 mJ']);
    expect(limit).toMatchObject({ label: 'minimum energy', side: 'least' });
    expect(limit!.canonical).toBeCloseTo(0.08 * 0.7, 12);
    expect(limit!.is! - limit!.was!).toBeCloseTo(-0.01 * 0.7, 12);
    // Without a stated energy, the limit is the energy that a spark needs.
    expect(limitIn('coil_energy_at_minimum_supply', [', energy: 70 mJ', ''])!.canonical).toBeCloseTo(
      0.03,
      12,
    );
  });

  test('of the next spark, to the end of the knock window', () => {
    const limit = limitIn('next_spark', ['to: 60 deg', 'to: 80 deg']);
    expect(limit).toMatchObject({ label: 'end of the knock window', side: 'least', canonical: 80 });
    expect(limit!.is! - limit!.was!).toBeCloseTo(-20, 12);
  });

  test('of the drop along a wire, to the usual limit of the supply', () => {
    const limit = limitIn('wire_voltage_drop', [
      'length: 1.4 m, current: 9 A',
      'length: 2.8 m, current: 9 A',
    ]);
    // FAA AC 43.13-1B table 11-6, from memory: 0.5 V continuous in a 14 V system.
    expect(limit).toMatchObject({ side: 'most', canonical: 0.5 });
    // Twice the length loses twice the voltage.
    expect(limit!.canonical - limit!.is!).toBeCloseTo(2 * (limit!.canonical - limit!.was!), 12);
  });

  test('of the protector that a wire bears, to its fuse', () => {
    const limit = limitIn('wire_protector', ['16 AWG, length: 1.4 m', '20 AWG, length: 1.4 m']);
    expect(limit).toMatchObject({ label: 'fuse or breaker rating', side: 'least', canonical: 10 });
    expect(limit!.is!).toBeLessThan(0);
    expect(limit!.was!).toBeGreaterThanOrEqual(0);
  });

  test('of the point that passes it, where another one moved further', () => {
    const currents = valuesIn(
      changed(['values: [4.6, 3.2, 2.5, 2.0, 1.7]', 'values: [3.0, 3.2, 2.5, 2.0, 2.1]']),
    ).filter(({ id }) => id === 'coil_current');
    expect(currents).toMatchObject([{ moved: 2, at: 'ignition.dwell.values[4]' }]);
    expect(currents[0]!.limit!.is).toBeLessThan(0);
  });
});

describe('a value that is newly or further beyond its limit is not hidden by another one of its kind', () => {
  /** The complete installation with these dwell times (ms), by default at 8, 10, 12, 14 and 16 V. */
  const dwell = (values: string, breakpoints = '[8, 10, 12, 14, 16]') =>
    edited(complete, [
      [
        'breakpoints: [8, 10, 12, 14, 16] }\n    unit: ms\n    values: [4.6, 3.2, 2.5, 2.0, 1.7]',
        `breakpoints: ${breakpoints} }\n    unit: ms\n    values: ${values}`,
      ],
    ]);

  // The limit of the current is 8.05 A. It is U / R · (1 − exp(−t · R / L)): 8.23 A after 4.8 ms at 8 V, 8.31 A after
  // 2.2 ms at 14 V.
  test.each([
    {
      what: 'another one comes back within the limit by more',
      was: dwell('[4.6, 3.2, 2.5, 2.2, 1.7]'),
      is: dwell('[4.8, 3.2, 2.5, 2.0, 1.7]'),
      line: /^::error .*title=limit-passed::Coil current, ignition\.dwell\.values\[0\] and 1 other: /m,
    },
    {
      what: 'another one moves by more within the limit',
      was: dwell('[4.0, 3.2, 2.5, 2.2, 1.7]'),
      is: dwell('[3.0, 3.2, 2.5, 2.3, 1.7]'),
      line: /^::error .*title=limit-further::Coil current, ignition\.dwell\.values\[3\] and 1 other: /m,
    },
    {
      what: 'the number of cells changed',
      was: dwell('[4.6, 3.2, 2.5, 1.8, 1.7]'),
      is: dwell('[4.6, 3.2, 2.5, 2.5, 2.0, 1.7]', '[8, 10, 12, 13, 14, 16]'),
      line: /^::error .*title=limit-passed::Coil current, /m,
    },
    {
      what: 'an added cell leaves too little energy at the lowest supply',
      was: complete,
      is: dwell('[4.6, 1.0, 1.0, 2.5, 2.0, 1.7]', '[8, 9, 10.5, 12, 14, 16]'),
      line: /^::error .*title=limit-passed::Coil energy at minimum supply voltage, /m,
    },
  ])('when $what', async ({ was, is, line }) => {
    const format = ['--format', 'github', '--time', '0'];
    const { status, out } = await enginewright('compare', ...twoStates(was, is), ...format);
    expect(out).toMatch(line);
    expect(status).toBe(1);
  });
});
