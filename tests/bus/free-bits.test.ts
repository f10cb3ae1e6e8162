import fc from 'fast-check';
import { expect, test } from 'vitest';
import { nextFreeStart, sharedBits, signalBits, signalFits } from '../../shared/physics/bus-signal.ts';

const place = fc.record({
  startBit: fc.integer({ min: 0, max: 63 }),
  bits: fc.integer({ min: 1, max: 24 }),
  byteOrder: fc.constantFrom('little' as const, 'big' as const),
});

type Place = Parameters<typeof signalBits>[0];

/** Whether none of these signals occupies any of the positions. */
const avoiding = (others: readonly Place[]) => (positions: readonly number[]) =>
  others.flatMap(signalBits).every((position) => !positions.includes(position));

test('a moved signal fits and shares no bit', () => {
  let moved = 0;
  fc.assert(
    fc.property(place, fc.array(place, { maxLength: 5 }), (one, others) => {
      const startBit = nextFreeStart(one, avoiding(others), 64);
      if (startBit === undefined) return;
      moved++;
      expect(signalFits({ ...one, startBit }, 64)).toBe(true);
      for (const other of others) expect(sharedBits({ ...one, startBit }, other)).toEqual([]);
    }),
  );
  expect(moved).toBeGreaterThan(10);
});

test('it goes on from where the signal is, then from the beginning, and keeps whole bytes at their border', () => {
  const byte = (startBit: number, byteOrder: 'little' | 'big') => ({ startBit, bits: 8, byteOrder });
  expect(nextFreeStart(byte(8, 'little'), avoiding([byte(8, 'little')]), 64)).toBe(16);
  expect(nextFreeStart(byte(12, 'little'), avoiding([byte(16, 'little')]), 24)).toBe(0);
  expect(nextFreeStart(byte(15, 'big'), avoiding([byte(8, 'little')]), 64)).toBe(23);
  expect(nextFreeStart(byte(16, 'little'), avoiding([]), 64)).toBe(24);
  expect(
    nextFreeStart(byte(8, 'little'), avoiding([{ startBit: 16, bits: 4, byteOrder: 'little' }]), 64),
  ).toBe(24);
  expect(
    nextFreeStart({ startBit: 8, bits: 4, byteOrder: 'little' }, avoiding([byte(5, 'little')]), 64),
  ).toBe(13);
  expect(nextFreeStart({ startBit: 7, bits: 4, byteOrder: 'big' }, avoiding([byte(7, 'big')]), 16)).toBe(15);
});

test('a full message has no room', () => {
  const full = { startBit: 0, bits: 16, byteOrder: 'little' } as const;
  expect(nextFreeStart({ startBit: 3, bits: 1, byteOrder: 'little' }, avoiding([full]), 16)).toBeUndefined();
});
