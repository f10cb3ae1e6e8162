import { formula } from './formula.ts';

/**
 * Where a signal lies in a frame. Bits are numbered byte by byte, and in each byte from its least significant
 * bit: position = 8 × byte + bit. The start bit then means
 * - `little`: the signal's least significant bit; the signal continues upwards in that numbering;
 * - `big`: the signal's most significant bit, in the same numbering; the signal continues downwards in the byte
 *   and then from bit 7 of the next byte (the sawtooth). This is how the open exchange format for bus
 *   databases counts.
 */
export interface BusSignal {
  readonly startBit: number;
  /** 1..64 */
  readonly bits: number;
  readonly byteOrder: 'little' | 'big';
  readonly signed: boolean;
}

type Place = Omit<BusSignal, 'signed'>;

/**
 * The positions of a signal's bits, least significant first. Empty for a place that no frame has (a start bit
 * or a length that is not a whole number, a negative start, more than 64 bits).
 */
export function signalBits({ startBit, bits, byteOrder }: Place): readonly number[] {
  if (!Number.isInteger(startBit) || startBit < 0 || !Number.isInteger(bits) || bits < 1 || bits > 64)
    return [];
  if (byteOrder === 'little') return Array.from({ length: bits }, (_, i) => startBit + i);
  const positions = [startBit];
  while (positions.length < bits) {
    const last = positions.at(-1)!;
    positions.push(last % 8 === 0 ? last + 15 : last - 1);
  }
  return positions.reverse();
}

/** Whether a signal has a place inside `dataBits` bits of data. */
export function signalFits(signal: Place, dataBits: number): boolean {
  const positions = signalBits(signal);
  return positions.length > 0 && positions.every((position) => position < dataBits);
}

/** Positions that two signals both claim, lowest first. */
export function sharedBits(one: Place, other: Place): readonly number[] {
  const taken = new Set(signalBits(other));
  return signalBits(one)
    .filter((position) => taken.has(position))
    .sort((a, b) => a - b);
}

/** Smallest and largest raw number of a signal. */
export function rawRange({
  bits,
  signed,
}: Pick<BusSignal, 'bits' | 'signed'>): readonly [low: bigint, high: bigint] {
  const count = 1n << BigInt(bits);
  return signed ? [-count / 2n, count / 2n - 1n] : [0n, count - 1n];
}

/**
 * The largest number of a floating-point signal; undefined for a length that has no such number. Source: IEEE 754, binary32 and
 * binary64.
 */
export const largestFloat = (bits: number): number | undefined =>
  bits === 32 ? (2 - 2 ** -23) * 2 ** 127 : bits === 64 ? Number.MAX_VALUE : undefined;

/** Whether a text is a raw number as a bus carries it: decimal or hexadecimal, without a sign. */
export const isWholeCount = (text: string): boolean => /^(?:\d+|0x[0-9a-f]+)$/i.test(text);

/** The value of a count of a signal, in the unit of step and zero. */
export const signalValue = formula({
  id: 'signal-value',
  title: 'Signal value',
  expression: 'q · k + c',
  terms: {
    count: { symbol: 'q', label: 'count', unit: '', valid: [-(2 ** 63), 2 ** 64] },
    step: { symbol: 'k', label: 'value per count', unit: '', valid: [-1e6, 1e6] },
    zero: { symbol: 'c', label: 'value at count zero', unit: '', valid: [-1e7, 1e7] },
  },
  result: { symbol: 'y', label: 'signal value', unit: '' },
  source: 'definition',
});

/** The smallest difference that a signal can represent: the absolute value per count. */
export const signalResolution = formula({
  id: 'signal-resolution',
  title: 'Signal resolution',
  expression: 'k',
  terms: { step: { symbol: 'k', label: 'value per count', unit: '', valid: [0, 1e6] } },
  result: { symbol: 'Δy', label: 'resolution', unit: '' },
  source: 'definition',
});

/** Lowest and highest value that a signal can carry: raw × scale + offset, in the unit of both. */
export function signalRange(
  signal: Pick<BusSignal, 'bits' | 'signed'>,
  scale: number,
  offset: number,
): readonly [low: number, high: number] {
  const meaning = (raw: bigint) => signalValue({ count: Number(raw), step: scale, zero: offset });
  const [first, last] = rawRange(signal).map(meaning) as [number, number];
  return first <= last ? [first, last] : [last, first];
}

/**
 * The raw number of a signal in `data`, sign included. Throws a RangeError where the signal does not fit the
 * data: check `signalFits` first.
 */
export function readSignal(data: Uint8Array, signal: BusSignal): bigint {
  mustFit(data, signal);
  const unsigned = signalBits(signal).reduce((sum, position, i) => {
    const bit = (data[position >> 3]! >> (position & 7)) & 1;
    return sum | (BigInt(bit) << BigInt(i));
  }, 0n);
  return signal.signed ? BigInt.asIntN(signal.bits, unsigned) : unsigned;
}

/**
 * `data` with a signal's bits replaced by a raw number. Throws a RangeError where the signal does not fit the
 * data or the number does not fit the signal: nothing is cut off.
 */
export function writeSignal(data: Uint8Array, signal: BusSignal, raw: bigint): Uint8Array {
  mustFit(data, signal);
  const [low, high] = rawRange(signal);
  if (raw < low || raw > high) throw new RangeError(`${raw} is outside the signal range ${low}..${high}`);
  const unsigned = BigInt.asUintN(signal.bits, raw);
  const written = Uint8Array.from(data);
  for (const [i, position] of signalBits(signal).entries()) {
    const mask = 1 << (position & 7);
    const set = (unsigned >> BigInt(i)) & 1n;
    written[position >> 3] = set ? written[position >> 3]! | mask : written[position >> 3]! & ~mask;
  }
  return written;
}

function mustFit(data: Uint8Array, signal: BusSignal): void {
  if (!signalFits(signal, 8 * data.length)) {
    throw new RangeError(
      `${signal.bits} bits from bit ${signal.startBit} do not fit in ${data.length} bytes`,
    );
  }
}

/**
 * The next start bit after a signal's own at which it would lie on free bits of `dataBits` bits of data, starting
 * again at the beginning if necessary; whole bytes stay aligned to bytes. `areFree` says whether no other signal occupies the
 * positions. `undefined` if there is no room.
 */
export function nextFreeStart(
  signal: Place,
  areFree: (positions: readonly number[]) => boolean,
  dataBits: number,
): number | undefined {
  // In the order in which the bits go over the bus, a big-endian signal starts at the top of a byte.
  const starts = Array.from({ length: dataBits }, (_, i) => (signal.byteOrder === 'big' ? i ^ 7 : i));
  const after = starts.indexOf(signal.startBit) + 1;
  return [...starts.slice(after), ...starts.slice(0, after)].find((startBit) => {
    const moved = { ...signal, startBit };
    const isAtBorder = startBit % 8 === (signal.byteOrder === 'big' ? 7 : 0);
    if (signal.bits % 8 === 0 && !isAtBorder) return false;
    return signalFits(moved, dataBits) && areFree(signalBits(moved));
  });
}
