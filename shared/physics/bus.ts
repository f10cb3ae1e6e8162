import { formula } from './formula.ts';

const STUFFED = {
  symbol: 'g',
  label: 'bits subject to stuffing, without data',
  unit: 'bit',
  valid: [34, 54] as const,
};
const DATA = { symbol: 's', label: 'data', unit: 'bit', show: 'byte', valid: [0, 64] as const };
const BITRATE = { symbol: 'b', label: 'bit rate', unit: 'bit/s', show: 'kbit/s', valid: [1e3, 1e6] as const };
const LONG = { unit: 's', show: 'ms', valid: [0, 100] as const };

/**
 * Bits of a classic frame that are subject to stuffing, without its data: start 1, identifier 11, remote,
 * extension and reserved bits 3, length 4, checksum 15; an extended frame adds 18 identifier bits and 2
 * flags. Source: ISO 11898-1.
 */
export const stuffedBits = { base: 34, extended: 54 } as const;

/** The largest identifier of a base frame, of 11 bits, and of an extended one, of 29. Source: ISO 11898-1. */
export const largestIdentifier = { base: 2 ** 11 - 1, extended: 2 ** 29 - 1 } as const;

/** Length of a classic frame without any stuff bit, with the 3 bits that keep frames apart. */
export const nominalFrameBits = formula({
  id: 'nominal-frame-bits',
  title: 'Frame length without stuffing',
  expression: 'g + s + 13',
  terms: { stuffed: STUFFED, data: DATA },
  result: { symbol: 'N', label: 'frame length', unit: 'bit' },
  source: 'iso-11898-1',
});

/**
 * Greatest length of a classic frame: a bit is stuffed after five equal bits and may itself begin the next five, so
 * every fourth bit after the first can add one.
 */
export const worstFrameBits = formula({
  id: 'worst-frame-bits',
  title: 'Frame length with maximum bit stuffing',
  expression: 'g + s + 13 + floor((g + s − 1) / 4)',
  terms: { stuffed: STUFFED, data: DATA },
  result: { symbol: 'N', label: 'longest frame', unit: 'bit' },
  source: 'davis-2007-eq-1',
});

/** Time (s) for which a frame occupies the bus. */
export const frameTime = formula({
  id: 'frame-time',
  title: 'Frame transmission time',
  expression: 'N / b',
  terms: { bits: { symbol: 'N', label: 'longest frame', unit: 'bit', valid: [47, 160] }, bitrate: BITRATE },
  result: { symbol: 'C', label: 'frame transmission time', unit: 's', show: 'us' },
  source: 'definition',
});

/** A periodic message: `data` in bits, 0..64 in steps of 8; `period` (above 0) and `jitter` of its queuing in s. */
export interface BusMessage {
  readonly id: number;
  readonly extended: boolean;
  readonly data: number;
  readonly period: number;
  readonly jitter?: number;
}

export interface FrameBits {
  readonly nominal: number;
  readonly worst: number;
}

/** Frame length of a message in bits, without stuffing and with maximum stuffing. */
export function frameBits({ extended, data }: Pick<BusMessage, 'extended' | 'data'>): FrameBits {
  const stuffed = extended ? stuffedBits.extended : stuffedBits.base;
  return { nominal: nominalFrameBits({ stuffed, data }), worst: worstFrameBits({ stuffed, data }) };
}

/** Share of the bus time that the messages need; above 1 the bus cannot carry them. */
export const busUtilization = formula({
  id: 'bus-load',
  title: 'Bus load',
  expression: 'D / b',
  terms: {
    demand: {
      symbol: 'D',
      label: 'bits of all messages per second',
      unit: 'bit/s',
      show: 'kbit/s',
      valid: [0, 1e7],
    },
    bitrate: BITRATE,
  },
  result: { symbol: 'u', label: 'bus load', unit: '', show: '%' },
  source: 'definition',
});

/** Share of the bus time (0..1, above 1 where it cannot work) that messages take at a bit rate (bit/s). */
export function busLoad(messages: readonly BusMessage[], bitrate: number): FrameBits {
  const share = (length: keyof FrameBits) =>
    messages.reduce((sum, message) => sum + frameBits(message)[length] / (message.period * bitrate), 0);
  return { nominal: share('nominal'), worst: share('worst') };
}

/**
 * Order in which two messages win arbitration: negative if the first wins. Identifiers are compared bit by bit
 * from the most significant; where the first 11 agree, the base frame wins over the extended one. Source: ISO
 * 11898-1.
 */
export function arbitration(
  one: Pick<BusMessage, 'id' | 'extended'>,
  other: Pick<BusMessage, 'id' | 'extended'>,
): number {
  return rankOf(one) - rankOf(other);
}

/** The identifier as the bus reads it, in one number: its first 11 bits, the bit of an extended frame, the other 18. */
function rankOf({ id, extended }: Pick<BusMessage, 'id' | 'extended'>): number {
  return extended ? Math.floor(id / 2 ** 18) * 2 ** 19 + 2 ** 18 + (id % 2 ** 18) : id * 2 ** 19;
}

/** Worst-case response time (s) of a message from its longest wait, which `worstResponseTimes` finds. */
export const responseTime = formula({
  id: 'response-time',
  title: 'Worst-case response time',
  expression: 'w + C',
  terms: {
    waiting: { symbol: 'w', label: 'longest wait for the bus', ...LONG },
    time: { symbol: 'C', label: 'longest frame transmission time', ...LONG },
  },
  result: { symbol: 'R', label: 'time from queuing to the last bit', unit: 's', show: 'ms' },
  source: 'davis-2007-sec-3',
});

/**
 * Steps after which a queue that still grows is taken as endless; a bus with any spare time needs far fewer.
 */
const MOST_STEPS = 100_000;

/**
 * For each message, the longest time (s) from queuing it to its last bit on a bus of `bitrate` bit/s, with every
 * frame at its longest and no errors: one frame already in transmission, then all of higher priority, over every
 * instance in the busy period. Others with the same identifier count as higher. `undefined` where the message
 * may wait for ever, because messages of its priority and higher need all of the bus time. Source: Davis, Burns, Bril
 * and Lukkien 2007.
 */
export function worstResponseTimes(messages: readonly BusMessage[], bitrate: number): (number | undefined)[] {
  const queue = new Queue(messages.map((message) => countBits(message, bitrate)));
  return messages.map((_, place) => {
    const bits = queue.worstResponse(place);
    return bits === undefined ? undefined : bits / bitrate;
  });
}

/** `worstResponseTimes` of one of the messages. */
export function worstResponseTime(
  message: BusMessage,
  messages: readonly BusMessage[],
  bitrate: number,
): number | undefined {
  return worstResponseTimes(messages, bitrate)[messages.indexOf(message)];
}

/** Messages in the order in which they win arbitration: those of higher priority come first. */
class Queue {
  readonly #sorted: readonly Timed[];
  /** The place in the queue of each message as it was given. */
  readonly #placed: readonly Timed[];

  constructor(messages: readonly Timed[]) {
    this.#placed = messages;
    this.#sorted = [...messages].sort((a, b) => a.rank - b.rank);
  }

  /** In bit times. */
  worstResponse(place: number): number | undefined {
    const sorted = this.#sorted;
    const own = this.#placed[place]!;
    let ahead = 0;
    let share = 0;
    while (ahead < sorted.length && sorted[ahead]!.rank <= own.rank) {
      share += sorted[ahead]!.length / sorted[ahead]!.period;
      ahead++;
    }
    if (!(share < 1)) return undefined;
    let blocking = 0;
    for (let i = ahead; i < sorted.length; i++) blocking = Math.max(blocking, sorted[i]!.length);

    const demandOf = (one: Timed, time: number) => Math.ceil((time + one.jitter) / one.period) * one.length;
    const demand = (time: number) => {
      let sum = 0;
      for (let i = 0; i < ahead; i++) sum += demandOf(sorted[i]!, time);
      return sum;
    };
    let steps = 0;
    const settle = (start: number, next: (time: number) => number): number | undefined => {
      for (let time = start; steps++ < MOST_STEPS; ) {
        const later = next(time);
        if (later === time) return time;
        time = later;
      }
      return undefined;
    };
    const busy = settle(own.length, (time) => blocking + demand(time));
    if (busy === undefined) return undefined;
    const instances = Math.ceil((busy + own.jitter) / own.period);
    let worst = 0;
    let waiting = blocking;
    for (let instance = 0; instance < instances; instance++) {
      // One bit time is added because a frame that is queued while the bus is still deciding takes part.
      const higher = (time: number) => demand(time) - demandOf(own, time);
      const settled = settle(waiting, (time) => blocking + instance * own.length + higher(time + 1));
      if (settled === undefined) return undefined;
      worst = Math.max(worst, own.jitter + settled - instance * own.period + own.length);
      waiting = settled + own.length;
    }
    return worst;
  }
}

interface Timed {
  /** The lower wins: the first 11 bits, then base before extended, then the rest. */
  readonly rank: number;
  readonly length: number;
  readonly period: number;
  readonly jitter: number;
}

/** A message with its times counted in bits; whole counts are kept whole, so that rounding up adds none. */
function countBits(message: BusMessage, bitrate: number): Timed {
  const count = (seconds: number) => {
    const bits = seconds * bitrate;
    return Math.abs(bits - Math.round(bits)) < 1e-6 ? Math.round(bits) : bits;
  };
  return {
    rank: rankOf(message),
    length: frameBits(message).worst,
    period: count(message.period),
    jitter: count(message.jitter ?? 0),
  };
}
