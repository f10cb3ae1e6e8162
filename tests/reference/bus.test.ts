import { describe, expect, test } from 'vitest';
import {
  type BusMessage,
  busLoad,
  frameBits,
  stuffedBits,
  worstFrameBits,
  worstResponseTime,
} from '../../shared/physics/bus.ts';
import { type BusSignal, readSignal, signalRange, writeSignal } from '../../shared/physics/bus-signal.ts';

/**
 * Bytes of data, then bits of a base frame (nominal, worst) and of an extended one: the bound of Davis,
 * Burns, Bril and Lukkien 2007, equation 1, confirmed by can-utils' canframelen.c (revision 95aae6b),
 * worst-case mode.
 */
const FRAME_BITS = [
  [0, 47, 55, 67, 80],
  [1, 55, 65, 75, 90],
  [2, 63, 75, 83, 100],
  [3, 71, 85, 91, 110],
  [4, 79, 95, 99, 120],
  [5, 87, 105, 107, 130],
  [6, 95, 115, 115, 140],
  [7, 103, 125, 123, 150],
  [8, 111, 135, 131, 160],
] as const;

test.each(FRAME_BITS)(
  '%d byte: base frame %d to %d bits, extended %d to %d',
  (bytes, base, baseWorst, long, longWorst) => {
    expect(frameBits({ extended: false, data: 8 * bytes })).toEqual({ nominal: base, worst: baseWorst });
    expect(frameBits({ extended: true, data: 8 * bytes })).toEqual({ nominal: long, worst: longWorst });
  },
);

describe('bits of real frames', () => {
  // Exact lengths by can-utils' canframelen.c, exact mode, and by a second encoder; intermission included.
  test.each([
    { extended: false, bytes: 8, bits: 127, what: 'all zero' },
    { extended: false, bytes: 8, bits: 131, what: 'id 0x078, data 3C: nearly the worst there is' },
    { extended: false, bytes: 0, bits: 53, what: 'id 0, no data' },
    { extended: false, bytes: 8, bits: 112, what: 'alternating bits' },
    { extended: true, bytes: 8, bits: 150, what: 'id 0x18FEF100, data 3C' },
  ])('$what: $bits bits lie within the bounds', ({ extended, bytes, bits }) => {
    const { nominal, worst } = frameBits({ extended, data: 8 * bytes });
    expect(bits).toBeGreaterThanOrEqual(nominal);
    expect(bits).toBeLessThanOrEqual(worst);
  });

  test('no pattern of up to 16 bits needs more stuff bits than the bound, and some needs as many', () => {
    for (let length = 5; length <= 16; length++) {
      let most = 0;
      for (let pattern = 0; pattern < 2 ** length; pattern++)
        most = Math.max(most, stuffBits(pattern, length));
      const bound = worstFrameBits({ stuffed: length, data: 0 }) - 13 - length;
      expect(most).toBe(bound);
    }
  });
});

/**
 * Stuff bits that the rule of ISO 11898-1 inserts: the opposite bit after five equal ones, itself counted.
 */
function stuffBits(pattern: number, length: number): number {
  let [last, run, stuffed] = [-1, 0, 0];
  for (let i = 0; i < length; i++) {
    const bit = (pattern >> i) & 1;
    run = bit === last ? run + 1 : 1;
    last = bit;
    if (run === 5) [last, run, stuffed] = [1 - bit, 1, stuffed + 1];
  }
  return stuffed;
}

test.each([
  [250_000, 0.122012, 0.1483],
  [500_000, 0.061006, 0.07415],
  [1_000_000, 0.030503, 0.037075],
])('load at %d bit/s is %d without stuffing and %d at worst', (bitrate, nominal, worst) => {
  // Six messages, bytes and period in s; the sums were made by another program from the bits of the table
  // above.
  const messages = [
    [8, 0.01],
    [8, 0.01],
    [8, 0.02],
    [4, 0.05],
    [8, 0.1],
    [2, 1],
  ].map(([bytes, period], id) => ({ id, extended: false, data: 8 * bytes!, period: period! }));
  const load = busLoad(messages, bitrate);
  expect(load.nominal).toBeCloseTo(nominal, 6);
  expect(load.worst).toBeCloseTo(worst, 8);
});

describe('worst response time', () => {
  // The counter-example of Davis et al. 2007 (section 3.2), from memory: three 7-byte messages, 1 ms each at
  // 125 kbit/s. The older analysis promised the last one 3 ms; its second instance needs 3.5 ms and misses
  // 3.25 ms.
  const frame = { extended: false, data: 56 };
  const [a, b, c] = [
    { ...frame, id: 1, period: 2.5e-3 },
    { ...frame, id: 2, period: 3.5e-3 },
    { ...frame, id: 3, period: 3.5e-3 },
  ] as const;

  test.each([
    ['A', a, 2],
    ['B', b, 3],
    ['C', c, 3.5],
  ] as const)('message %s of the published counter-example', (_name, message, milliseconds) => {
    expect(worstResponseTime(message, [a, b, c], 125_000)! * 1000).toBeCloseTo(milliseconds, 9);
  });

  test('a message alone waits for nothing', () => {
    const alone: BusMessage = { id: 0x320, extended: false, data: 64, period: 0.05 };
    expect(worstResponseTime(alone, [alone], 500_000)).toBeCloseTo(270e-6, 12);
  });
});

describe('bytes that an independent library packed', () => {
  /** cantools 39.4.13, encode(): places, scales and values given, bytes printed; Motorola order is `big`. */
  const little = (startBit: number, bits: number, signed = false): BusSignal => ({
    startBit,
    bits,
    signed,
    byteOrder: 'little',
  });
  const big = (startBit: number, bits: number, signed = false): BusSignal => ({
    startBit,
    bits,
    signed,
    byteOrder: 'big',
  });
  const SCALES = [
    [0.25, 0],
    [1, -40],
    [0.1, 0],
    [0.1, 0],
    [1, 0],
    [1, 0],
  ] as const;
  const LITTLE = [
    little(0, 16),
    little(16, 8),
    little(24, 12, true),
    little(36, 12),
    little(48, 1),
    little(49, 3),
  ];
  const BIG = [big(7, 16), big(23, 8), big(31, 12, true), big(35, 12), big(55, 1), big(54, 3)];
  const WIDE = [little(0, 32, true), big(39, 24)];

  test.each([
    [LITTLE, [2700, 87, -12.5, 101.3, 1, 5], '302a7f835f3f0b00'],
    [LITTLE, [5512.75, -40, 204.7, 237.1, 0, 7], '235600ff37940e00'],
    [LITTLE, [0, 215, -204.8, 0, 1, 0], '0000ff0008000100'],
    [LITTLE, [16383.75, 0, -0.1, 409.5, 0, 2], 'ffff28ffffff0400'],
    [BIG, [2700, 87, -12.5, 101.3, 1, 5], '2a307ff833f5d000'],
    [BIG, [5512.75, -40, 204.7, 237.1, 0, 7], '5623007ff9437000'],
    [BIG, [0, 215, -204.8, 0, 1, 0], '0000ff8000008000'],
    [BIG, [16383.75, 0, -0.1, 409.5, 0, 2], 'ffff28ffffff2000'],
    [WIDE, [-123456789, 1193046], 'eb32a4f812345600'],
    [WIDE, [2147483647, 1], 'ffffff7f00000100'],
  ] as const)('%#: %j', (signals, values, hex) => {
    const scaleOf = (i: number) => (signals === WIDE ? ([1, 0] as const) : SCALES[i]!);
    let data = new Uint8Array(8);
    for (const [i, signal] of signals.entries()) {
      const [scale, offset] = scaleOf(i);
      data = Uint8Array.from(writeSignal(data, signal, BigInt(Math.round((values[i]! - offset) / scale))));
    }
    expect(Buffer.from(data).toString('hex')).toBe(hex);
    for (const [i, signal] of signals.entries()) {
      const [scale, offset] = scaleOf(i);
      expect(Number(readSignal(data, signal)) * scale + offset).toBeCloseTo(values[i]!, 9);
    }
  });

  // The ranges that the same library's database file states.
  test.each([
    [0, 0, 16383.75],
    [1, -40, 215],
    [2, -204.8, 204.7],
    [3, 0, 409.5],
    [5, 0, 7],
  ])('signal %d carries %d to %d', (i, low, high) => {
    const range = signalRange(LITTLE[i]!, SCALES[i]![0], SCALES[i]![1]);
    expect(range[0]).toBeCloseTo(low, 9);
    expect(range[1]).toBeCloseTo(high, 9);
  });
});

test('stuffed bits of the two frame formats', () => {
  // ISO 11898-1: start 1, identifier 11, flags 3, length 4, checksum 15; the extended frame has 20 more.
  expect(stuffedBits).toEqual({ base: 1 + 11 + 3 + 4 + 15, extended: 1 + 11 + 3 + 4 + 15 + 18 + 2 });
});
