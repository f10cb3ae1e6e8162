import type { BusMessage, BusSignal, EngineConfiguration } from '../../generated/configuration.ts';
import { memo, memoFlatMap } from '../memo.ts';
import {
  largestFloat,
  rawRange,
  signalResolution as resolutionOfSignal,
  type BusSignal as SignalPlace,
  signalBits,
  signalValue,
} from '../physics/bus-signal.ts';
import { inUnits } from '../physics/formula.ts';
import { differenceUnit, formatUnit, fromUnit, type Quantity, toUnit } from '../quantity/index.ts';
import type { Dimension, PressureReference } from '../quantity/kinds.ts';
import type { Node } from '../source/tree.ts';
import type { FileValue } from './derivation.ts';
import { unitsIn } from './sensor-input.ts';
import { apply, type DerivedValue, derivedValue, type Operand, type Result } from './value.ts';

export interface NamedMessage {
  readonly name: string;
  readonly message: BusMessage;
}

export interface NamedSignal {
  /** The quantity that the signal carries. */
  readonly name: string;
  readonly signal: BusSignal;
}

/** The messages of the bus, in the order of the file. */
export const messagesOf = ({ bus }: Pick<EngineConfiguration, 'bus'>): readonly NamedMessage[] =>
  bus ? messagesIn(bus) : [];

const messagesIn = memo(({ messages }: NonNullable<EngineConfiguration['bus']>): readonly NamedMessage[] =>
  Object.entries(messages ?? {}).map(([name, message]) => namedAs(message, name)),
);

/** The same object while the message is unchanged, so that results cached by it stay valid. */
const namedAs = memo((message: BusMessage, name: string): NamedMessage => ({ name, message }));

/** The signals of a message. */
export const signalsOf = memo(({ signals }: BusMessage): readonly NamedSignal[] =>
  Object.entries(signals ?? {}).map(([name, signal]) => ({ name, signal })),
);

/** Bits of data in a message; undefined if its length is not stated. */
export function dataBits({ length }: BusMessage): number | undefined {
  return length?.canonical;
}

/** The position of a signal; undefined if it is not stated. */
export function placeOf({ start_bit, bits, byte_order, signed }: BusSignal): SignalPlace | undefined {
  if (!start_bit || !bits) return undefined;
  return {
    startBit: start_bit.canonical,
    bits: bits.canonical,
    byteOrder: byte_order?.text ?? 'little',
    signed: signed?.flag ?? false,
  };
}

/** Whether the bits of a signal are a floating-point number, which has no fixed step. */
export const isFloat = ({ encoding }: BusSignal): boolean => encoding?.text === 'float';

/** A signal with a valid position, and the positions of its bits. */
export interface PlacedSignal extends NamedSignal {
  readonly place: SignalPlace;
  readonly positions: readonly number[];
}

/** The signals of a message that have a valid position; not cached, because most messages are checked only once. */
export function placedSignals(message: BusMessage): readonly PlacedSignal[] {
  return signalsOf(message).flatMap((one) => {
    const place = placeOf(one.signal);
    const positions = place ? signalBits(place) : [];
    return place && positions.length > 0 ? [{ ...one, place, positions }] : [];
  });
}

/**
 * The number of claims kept per bit: enough to know whether the bit is free for one of its signals, and which signal
 * came first.
 */
const MOST_CLAIMS = 8;

/** Which signals claim the bits of a message. */
export interface Occupancy {
  /** The signals that have a valid position, in the order of the file. */
  readonly signals: readonly PlacedSignal[];
  /** By position, the first of these that claim the bit there. */
  readonly claims: ReadonlyMap<number, readonly PlacedSignal[]>;
}

/**
 * Indexed by bit, so that the time to check a message grows linearly with its signals. Needed only for messages in
 * which something is wrong.
 */
export const occupancyOf = memo((message: BusMessage): Occupancy => {
  const signals = placedSignals(message);
  const claims = new Map<number, PlacedSignal[]>();
  for (const one of signals) {
    for (const position of one.positions) {
      const known = claims.get(position);
      if (!known) claims.set(position, [one]);
      else if (known.length < MOST_CLAIMS) known.push(one);
    }
  }
  return { signals, claims };
});

/** Whether no other signal of the message claims any of the positions. */
export function areFree(message: BusMessage, positions: readonly number[], owner: BusSignal): boolean {
  const { claims } = occupancyOf(message);
  return positions.every((position) => (claims.get(position) ?? []).every(({ signal }) => signal === owner));
}

/** How the counts of a signal convert to values. */
export interface SignalCoding {
  /** The value per count and the value at count zero, in canonical units. */
  readonly step: number;
  readonly zero: number;
  /** The canonical unit, and the one in which the signal is read: `kPa abs`. */
  readonly unit: string;
  readonly show: string;
  readonly reference: PressureReference | undefined;
}

/** A bare number is a ratio, as `0.5` and `50 %` are the same. */
export const dimensionIn = ({ unit }: Quantity): Dimension => unit?.dimension ?? 'ratio';

type Units = Pick<SignalCoding, 'unit' | 'show'>;

/** Caches a formula by its units: a bus has many signals in few units. */
function perUnit<Made>(make: (units: Units) => Made): (units: Units) => Made {
  const made = new Map<string, Made>();
  return ({ unit, show }) => {
    const key = `${unit} ${show}`;
    const known = made.get(key) ?? make({ unit, show });
    made.set(key, known);
    return known;
  };
}

/** Undefined for a status signal, and if the scale is not stated, or the offset has another dimension or is below absolute zero. */
export function codingOf({ scale, offset, range, states }: BusSignal): SignalCoding | undefined {
  if (states || !scale || (offset && dimensionIn(offset.quantity) !== dimensionIn(scale.quantity)))
    return undefined;
  const { unit, number } = scale.quantity;
  // An offset below absolute zero is meant on another scale.
  if (unit?.dimension === 'temperature' && offset && offset.canonical < 0) return undefined;
  // A zero without a unit takes the unit of the scale.
  const read = offset?.quantity.unit ? offset.quantity : scale.quantity;
  const reference = offset?.quantity.reference ?? range?.high.reference ?? read.reference;
  const shown = { ...read, ...(reference && { reference }) };
  return {
    // 1 °C of scale is a step of 1 K, not a temperature.
    step: unit?.offset ? number * unit.factor : scale.canonical,
    zero: offset?.canonical ?? (unit ? fromUnit(0, unit) : 0),
    reference: unit?.dimension === 'pressure' ? reference : undefined,
    ...unitsIn(shown),
  };
}

/** The coding of a signal in a bus database: value = count · factor + offset, all in `unit`. */
export interface DatabaseCoding {
  readonly factor: number;
  readonly offset: number;
  /** The stated range or, without one, everything that the bits can represent. */
  readonly minimum: number;
  readonly maximum: number;
  readonly unit: string;
}

/** A conversion of units may leave 0.1 as 0.10000000000000002. */
const clean = (number: number): number => Number(number.toPrecision(12)) + 0;

/** Undefined if position or coding is unknown. */
export function databaseCoding(signal: BusSignal): DatabaseCoding | undefined {
  const [place, coding] = [placeOf(signal), codingOf(signal)];
  const [scale, offset, range] = [signal.scale, signal.offset, signal.range];
  if (!place || !coding || !scale || (range && dimensionIn(range.high) !== dimensionIn(scale.quantity)))
    return undefined;
  const largest = isFloat(signal) ? largestFloat(place.bits) : 0;
  if (largest === undefined) return undefined;
  const { show: unit } = coding;
  const inUnit = (canonical: number) => clean(unit === '' ? canonical : toUnit(canonical, unit));
  const sameUnit = scale.quantity.unit && formatUnit(scale.quantity.unit) === unit.replace(/ \w+$/, '');
  const factor = sameUnit
    ? scale.quantity.number
    : clean(inUnit(coding.step + coding.zero) - inUnit(coding.zero));
  const zero = offset?.quantity.unit ? offset.quantity.number : inUnit(coding.zero);
  const counts = isFloat(signal) ? [-largest, largest] : rawRange(place).map(Number);
  const ends = counts.map((count) => clean(count * factor + zero)).sort((a, b) => a - b);
  return {
    factor,
    offset: zero,
    minimum: range ? inUnit(range.low.canonical) : ends[0]!,
    maximum: range ? inUnit(range.high.canonical) : ends[1]!,
    unit,
  };
}

const valueFormula = perUnit((units) =>
  inUnits(signalValue, { step: { ...units, show: differenceUnit(units.show) }, zero: units }, units),
);

const resolutionFormula = perUnit(({ unit, show }) => {
  const step = { unit, show: differenceUnit(show) };
  return inUnits(resolutionOfSignal, { step }, step);
});

/** The lowest or highest value of a signal, at the lowest or highest count depending on the sign of the scale. */
function valueAtEnd(signal: BusSignal, end: 'low' | 'high'): Result | undefined {
  const [place, coding] = [placeOf(signal), codingOf(signal)];
  if (
    isFloat(signal) ||
    !place ||
    !coding ||
    !(place.bits >= 1 && place.bits <= 64) ||
    !Number.isInteger(place.bits)
  )
    return undefined;
  const [first, last] = rawRange(place);
  const takesLast = (end === 'high') === coding.step >= 0;
  const count: Operand = { canonical: Number(takesLast ? last : first), node: signal.bits!.node };
  return apply(valueFormula(coding), { count, ...stepAndZero(signal, coding) });
}

function stepAndZero({ scale, offset }: BusSignal, { step, zero }: SignalCoding) {
  return {
    step: { canonical: step, node: scale!.node },
    zero: offset ? { canonical: zero, node: offset.node } : { canonical: zero, how: 'no offset stated' },
  };
}

/** A value of every signal. */
export interface SignalValue extends FileValue {
  ofSignal(signal: BusSignal): DerivedValue | undefined;
}

/** A value of every signal, placed at one of its keys. Cached by signal. */
function perSignal(
  id: string,
  label: string,
  node: (signal: BusSignal) => Node | undefined,
  compute: (signal: BusSignal) => Result | undefined,
  digits?: number,
): SignalValue {
  const ofSignal = memo((signal: BusSignal) => {
    const [place, result] = [node(signal), compute(signal)];
    return place && result && derivedValue({ id, label, ...(digits && { digits }) }, result, place);
  });
  const ofMessages = memoFlatMap(({ message }: NamedMessage) =>
    signalsOf(message).flatMap(({ signal }) => ofSignal(signal) ?? []),
  );
  return {
    id,
    label,
    ofSignal,
    derive: ({ installation: { configuration } }) => ofMessages(messagesOf(configuration), undefined),
  };
}

/** The ends of a signal are exact: if the end is 63.75 %, the text must not claim that the signal carries 63.8 %. */
const END_DIGITS = 6;

export const signalLowest = perSignal(
  'signal_lowest',
  'Lowest signal value',
  ({ bits }) => bits?.node,
  (signal) => valueAtEnd(signal, 'low'),
  END_DIGITS,
);

export const signalHighest = perSignal(
  'signal_highest',
  'Highest signal value',
  ({ bits }) => bits?.node,
  (signal) => valueAtEnd(signal, 'high'),
  END_DIGITS,
);

export const signalResolution = perSignal(
  'signal_resolution',
  'Signal resolution',
  ({ scale }) => scale?.node,
  (signal) => {
    const coding = codingOf(signal);
    if (!coding || isFloat(signal)) return undefined;
    const { node } = signal.scale!;
    const step =
      coding.step < 0
        ? { canonical: -coding.step, node, how: 'absolute value of the scale' }
        : { canonical: coding.step, node };
    return apply(resolutionFormula(coding), { step });
  },
);
