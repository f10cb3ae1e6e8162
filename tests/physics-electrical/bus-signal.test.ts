import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type BusSignal,
  rawRange,
  readSignal,
  sharedBits,
  signalBits,
  signalFits,
  signalRange,
  writeSignal,
} from '../../shared/physics/bus-signal.ts';

const signal: fc.Arbitrary<BusSignal> = fc
  .record({
    startBit: fc.integer({ min: 0, max: 63 }),
    bits: fc.integer({ min: 1, max: 64 }),
    byteOrder: fc.constantFrom('little' as const, 'big' as const),
    signed: fc.boolean(),
  })
  .filter((one) => signalFits(one, 64));

const data = fc.uint8Array({ minLength: 8, maxLength: 8 });

describe('places', () => {
  test('little counts upwards from the least significant bit', () => {
    expect(signalBits({ startBit: 4, bits: 8, byteOrder: 'little' })).toEqual([4, 5, 6, 7, 8, 9, 10, 11]);
  });

  test('big names the most significant bit and goes down, then on from bit 7 of the next byte', () => {
    expect(signalBits({ startBit: 3, bits: 8, byteOrder: 'big' })).toEqual([12, 13, 14, 15, 0, 1, 2, 3]);
    expect(signalBits({ startBit: 7, bits: 16, byteOrder: 'big' })).toEqual([
      8, 9, 10, 11, 12, 13, 14, 15, 0, 1, 2, 3, 4, 5, 6, 7,
    ]);
  });

  test('a signal occupies as many different bits as it has', () => {
    fc.assert(
      fc.property(signal, (one) => {
        expect(new Set(signalBits(one)).size).toBe(one.bits);
      }),
    );
  });

  test('a signal that no frame has has no place', () => {
    for (const [startBit, bits] of [
      [-1, 8],
      [0, 0],
      [0, 65],
      [0.5, 8],
      [0, 1e9],
      [0, Number.NaN],
    ] as const) {
      const place = { startBit, bits, byteOrder: 'little' } as const;
      expect(signalBits(place)).toEqual([]);
      expect(signalFits(place, 64)).toBe(false);
    }
  });

  test('64 bits are the most, in however long a message', () => {
    const longest = { startBit: 0, bits: 64, byteOrder: 'little' as const };
    expect(signalFits(longest, 64)).toBe(true);
    expect(signalFits({ ...longest, bits: 65 }, 128)).toBe(false);
  });

  test('shared bits are counted upwards also where the signal is not', () => {
    const big = { startBit: 3, bits: 8, byteOrder: 'big' as const };
    const all = { startBit: 0, bits: 16, byteOrder: 'little' as const };
    expect(sharedBits(big, all)).toEqual([0, 1, 2, 3, 12, 13, 14, 15]);
  });

  test('fitting and overlapping', () => {
    const speed = { startBit: 0, bits: 16, byteOrder: 'little' } as const;
    const pressure = { startBit: 12, bits: 8, byteOrder: 'little' } as const;
    expect(signalFits(speed, 16)).toBe(true);
    expect(signalFits(speed, 8)).toBe(false);
    expect(signalFits({ startBit: 55, bits: 16, byteOrder: 'big' }, 64)).toBe(true);
    expect(signalFits({ startBit: 63, bits: 16, byteOrder: 'big' }, 64)).toBe(false);
    expect(sharedBits(speed, pressure)).toEqual([12, 13, 14, 15]);
    expect(sharedBits(speed, { startBit: 16, bits: 8, byteOrder: 'little' })).toEqual([]);
  });
});

describe('values', () => {
  test('what is written is read back, in either byte order, and nothing else changes', () => {
    fc.assert(
      fc.property(signal, data, fc.bigInt({ min: 0n, max: 2n ** 64n - 1n }), (one, before, any) => {
        const raw = one.signed ? BigInt.asIntN(one.bits, any) : BigInt.asUintN(one.bits, any);
        const after = writeSignal(before, one, raw);
        expect(readSignal(after, one)).toBe(raw);
        const own = new Set(signalBits(one));
        for (let position = 0; position < 64; position++) {
          if (own.has(position)) continue;
          const mask = 1 << (position & 7);
          expect(after[position >> 3]! & mask).toBe(before[position >> 3]! & mask);
        }
      }),
    );
  });

  test('little is what a DataView reads little-endian, big what it reads big-endian', () => {
    fc.assert(
      fc.property(data, fc.integer({ min: 0, max: 4 }), (bytes, at) => {
        const view = new DataView(bytes.buffer, bytes.byteOffset, 8);
        const place = { bits: 32, signed: true } as const;
        const little = readSignal(bytes, { ...place, startBit: 8 * at, byteOrder: 'little' });
        const big = readSignal(bytes, { ...place, startBit: 8 * at + 7, byteOrder: 'big' });
        expect(Number(little)).toBe(view.getInt32(at, true));
        expect(Number(big)).toBe(view.getInt32(at, false));
      }),
    );
  });

  test('ranges', () => {
    expect(rawRange({ bits: 8, signed: false })).toEqual([0n, 255n]);
    expect(rawRange({ bits: 8, signed: true })).toEqual([-128n, 127n]);
    expect(rawRange({ bits: 64, signed: true })).toEqual([-(2n ** 63n), 2n ** 63n - 1n]);
    expect(signalRange({ bits: 8, signed: false }, 1, -40)).toEqual([-40, 215]);
    expect(signalRange({ bits: 8, signed: false }, -0.5, 10)).toEqual([-117.5, 10]);
  });

  test('a number or a place that does not fit is refused, not cut off', () => {
    const one: BusSignal = { startBit: 0, bits: 8, byteOrder: 'little', signed: false };
    expect(() => writeSignal(new Uint8Array(8), one, 256n)).toThrow(RangeError);
    expect(() => writeSignal(new Uint8Array(8), one, -1n)).toThrow(RangeError);
    expect(() => writeSignal(new Uint8Array(8), { ...one, signed: true }, 128n)).toThrow(RangeError);
    expect(() => readSignal(new Uint8Array(1), { ...one, bits: 9 })).toThrow(RangeError);
  });
});
