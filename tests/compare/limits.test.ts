import { describe, expect, test } from 'vitest';
import { changed, valuesIn } from './pair.ts';

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
