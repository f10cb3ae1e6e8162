import { expect, test } from 'vitest';
import { SPEED_OF_SOUND_IN_BURNED_GAS } from '../../shared/physics/knock.ts';

test('the speed of sound is that of burned gas at 2500 K', () => {
  // Perfect gas, γ = 1.25, R = 287.05 J/(kg K): 947.12 m/s, computed.
  const speed = Math.sqrt(1.25 * 287.05 * 2500);
  expect(speed).toBeCloseTo(947.1173, 3);
  expect(Math.abs(SPEED_OF_SOUND_IN_BURNED_GAS / speed - 1)).toBeLessThan(0.01);
});
