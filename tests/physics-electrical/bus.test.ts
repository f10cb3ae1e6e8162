import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  arbitration,
  type BusMessage,
  busLoad,
  frameBits,
  worstResponseTime,
} from '../../shared/physics/bus.ts';

const BITRATE = 250_000;

/**
 * Messages whose periods are whole bit times, each with its own identifier, together below the whole bus
 * time.
 */
const messageSet = fc
  .array(fc.record({ bytes: fc.integer({ min: 0, max: 8 }), bits: fc.integer({ min: 400, max: 6000 }) }), {
    minLength: 1,
    maxLength: 6,
  })
  .map((given) =>
    given.map(({ bytes, bits }, id) => ({ id, extended: false, data: 8 * bytes, period: bits / BITRATE })),
  )
  .filter((messages) => busLoad(messages, BITRATE).worst < 0.95);

/** Simulates a bus bit by bit with all messages queued at once; returns the longest wait of `message`. */
function simulated(message: BusMessage, messages: readonly BusMessage[], bitTimes: number): number {
  const senders = messages.map((one) => ({
    one,
    period: Math.round(one.period * BITRATE),
    length: frameBits(one).worst,
    queuedAt: 0,
  }));
  let longest = 0;
  for (let now = 0; now < bitTimes; ) {
    const ready = senders.filter(({ queuedAt }) => queuedAt <= now).sort((a, b) => arbitration(a.one, b.one));
    const [winner] = ready;
    if (!winner) {
      now = Math.min(...senders.map(({ queuedAt }) => queuedAt));
      continue;
    }
    now += winner.length;
    if (winner.one === message) longest = Math.max(longest, now - winner.queuedAt);
    winner.queuedAt += winner.period;
  }
  return longest / BITRATE;
}

describe('worst response time', () => {
  test('of the lowest priority is what a bus shows when all messages are queued at once', () => {
    fc.assert(
      fc.property(messageSet, (messages) => {
        const lowest = messages.at(-1)!;
        expect(worstResponseTime(lowest, messages, BITRATE)!).toBeCloseTo(
          simulated(lowest, messages, 60_000),
          9,
        );
      }),
    );
  });

  test('is never less than a bus shows, for any message', () => {
    fc.assert(
      fc.property(messageSet, (messages) => {
        for (const message of messages) {
          const bound = worstResponseTime(message, messages, BITRATE)!;
          expect(bound).toBeGreaterThanOrEqual(simulated(message, messages, 20_000) - 1e-12);
        }
      }),
    );
  });

  test('the highest priority waits for one frame at most, and only where there is one below it', () => {
    const first = { id: 1, extended: false, data: 16, period: 0.01 };
    const second = { id: 2, extended: false, data: 64, period: 0.01 };
    expect(worstResponseTime(first, [first, second], BITRATE)! * BITRATE).toBeCloseTo(75 + 135, 6);
    expect(worstResponseTime(first, [first], BITRATE)! * BITRATE).toBeCloseTo(75, 6);
  });

  test('jitter of the message itself adds to it in full', () => {
    const message = { id: 1, extended: false, data: 64, period: 0.05 };
    const late = { ...message, jitter: 0.002 };
    const [steady, jittered] = [message, late].map((one) => worstResponseTime(one, [one], BITRATE)!);
    expect(jittered! - steady!).toBeCloseTo(0.002, 9);
  });

  test('there is none where the bus time does not suffice, however the numbers come', () => {
    const message = { id: 1, extended: false, data: 64 };
    for (const period of [135 / BITRATE, 100 / BITRATE, 0, Number.NaN]) {
      const one = { ...message, period };
      expect(worstResponseTime(one, [one], BITRATE)).toBeUndefined();
    }
    const tight = [0, 1].map((id) => ({ ...message, id, period: (270 + 1e-4) / BITRATE }));
    // There would be room once in a fortnight, but the search gives up before that.
    for (const period of [1, 1e6]) {
      const slow = { id: 0x1fffffff, extended: true, data: 64, period };
      expect(worstResponseTime(slow, [...tight, slow], BITRATE)).toBeUndefined();
    }
  });

  // R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien: Controller Area Network (CAN) schedulability analysis: Refuted,
  // revisited and revised (2007): frames of 1 ms each; not the first instance of C takes longest. Value from memory.
  test('is that of a later instance where it waits for more', () => {
    const bitrate = 135_000;
    const [a, b, c] = [2.5, 3.5, 3.5].map((ms, id) => ({ id, extended: false, data: 64, period: ms / 1000 }));
    expect(worstResponseTime(c!, [a!, b!, c!], bitrate)! * 1000).toBeCloseTo(3.5, 9);
  });

  test('others with the same identifier count as higher, and only as that', () => {
    const [one, other] = [0, 1].map(() => ({ id: 5, extended: false, data: 64, period: 0.01 }));
    expect(worstResponseTime(one!, [one!, other!], BITRATE)! * BITRATE).toBeCloseTo(270, 6);
  });

  describe('where the second instance of a higher message just arrives or just does not', () => {
    // Before the lowest can start, the others take 135 + 55 + 55 = 245 bit times, and it needs 55 itself.
    const others = [1, 2].map((id) => ({ id, extended: false, data: 0, period: 0.1 }));
    const lowest = { id: 3, extended: false, data: 0, period: 0.1 };
    const bitsWith = (period: number, jitter: number) => {
      const highest = { id: 0, extended: false, data: 64, period, jitter };
      return worstResponseTime(lowest, [highest, ...others, lowest], BITRATE)! * BITRATE;
    };

    test('periods of whole bit times are whole, however the division rounds', () => {
      expect(0.000996 * BITRATE).toBeLessThan(249);
      expect(bitsWith(0.000996, 3 / BITRATE)).toBeCloseTo(245 + 55, 6);
      expect(bitsWith(0.000996, 3.01 / BITRATE)).toBeCloseTo(245 + 135 + 55, 6);
    });

    test('others stay as they are, and jitter of the higher one brings it earlier', () => {
      expect(bitsWith(248.6 / BITRATE, 2.8 / BITRATE)).toBeCloseTo(245 + 135 + 55, 6);
      expect(bitsWith(248.6 / BITRATE, 2.5 / BITRATE)).toBeCloseTo(245 + 55, 6);
    });
  });
});

describe('arbitration', () => {
  const base = (id: number) => ({ id, extended: false });
  const extended = (id: number) => ({ id, extended: true });

  test('the lower identifier wins', () => {
    expect(arbitration(base(0x100), base(0x200))).toBeLessThan(0);
    expect(arbitration(extended(0x18fef101), extended(0x18fef100))).toBeGreaterThan(0);
  });

  test('across formats the first 11 bits decide, then the base frame', () => {
    expect(arbitration(base(0x100), extended(0x100 << 18))).toBeLessThan(0);
    expect(arbitration(base(0x101), extended((0x100 << 18) | 0x3ffff))).toBeGreaterThan(0);
    expect(arbitration(base(0x7ff), extended(0x1fffffff))).toBeLessThan(0);
  });

  test('equal frames are equal', () => expect(arbitration(base(5), base(5))).toBe(0));
});
