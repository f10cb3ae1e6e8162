import type { BusMessage, EngineConfiguration } from '../../generated/configuration.ts';
import { counted } from '../counted.ts';
import { memo, memoMap } from '../memo.ts';
import * as physics from '../physics/bus.ts';
import { formatQuantity } from '../quantity/index.ts';
import { dataBits, messagesOf, type NamedMessage } from './bus-signals.ts';
import type { Derivation, FileValue } from './derivation.ts';
import {
  apply,
  type DerivedValue,
  derivedValue,
  type MaybeOperand,
  type Operand,
  type Result,
  withNote,
} from './value.ts';

/** Data of a classic frame, in bits. Source: ISO 11898-1. */
export const MAX_DATA = 64;

/** Identifier and data of a message in a classic frame; undefined if one is missing or does not fit. */
export function frameOf(message: BusMessage): Omit<physics.BusMessage, 'period'> | undefined {
  const [id, data] = [message.id?.canonical, dataBits(message)];
  const extended = message.extended?.flag ?? false;
  const largest = extended ? physics.largestIdentifier.extended : physics.largestIdentifier.base;
  if (id === undefined || !Number.isInteger(id) || id < 0 || id > largest) return undefined;
  if (data === undefined || data > MAX_DATA || data < 0 || data % 8 !== 0) return undefined;
  return { id, extended, data };
}

export interface TimedMessage extends NamedMessage {
  readonly timing: physics.BusMessage;
}

type Bus = NonNullable<EngineConfiguration['bus']>;

const timingOfEach = memoMap(({ name, message }: NamedMessage): TimedMessage | undefined => {
  const [frame, period] = [frameOf(message), message.every?.canonical];
  return frame && period !== undefined && period > 0
    ? { name, message, timing: { ...frame, period } }
    : undefined;
});

const timedIn = memo((bus: Bus): readonly TimedMessage[] =>
  timingOfEach(messagesOf({ bus }), undefined).filter((timed) => timed !== undefined),
);

/** The messages with a frame and a period, whose time on the bus is therefore known. */
export const timedMessages = ({ bus }: Pick<EngineConfiguration, 'bus'>): readonly TimedMessage[] =>
  bus ? timedIn(bus) : [];

/** A value that follows from the bus section alone: it is derived again only if that section changes. */
function fromBus(
  derive: (configuration: Pick<EngineConfiguration, 'bus'>) => readonly DerivedValue[],
): FileValue['derive'] {
  const values = memo((bus: Bus) => derive({ bus }));
  return ({ installation: { configuration } }) => (configuration.bus ? values(configuration.bus) : []);
}

/** The bit rate, if it is positive. */
function bitrateOf({ bus }: Pick<EngineConfiguration, 'bus'>) {
  return bus?.bitrate && bus.bitrate.canonical > 0 ? bus.bitrate : undefined;
}

function longestFrame(message: BusMessage): Result | undefined {
  const frame = frameOf(message);
  if (!frame) return undefined;
  const stuffed: Operand = {
    canonical: frame.extended ? physics.stuffedBits.extended : physics.stuffedBits.base,
    how: frame.extended ? 'frame with a 29-bit identifier' : 'frame with an 11-bit identifier',
  };
  return apply(physics.worstFrameBits, { stuffed, data: message.length });
}

const timeOf = (message: BusMessage, bitrate: MaybeOperand): Result | undefined =>
  apply(physics.frameTime, { bits: longestFrame(message), bitrate });

/** The transmission time of every message with maximum bit stuffing, in s. */
export const frameTime: FileValue = {
  id: 'frame_time',
  label: 'Longest frame transmission time',
  derive: fromBus((configuration) =>
    frameTimeOfEach(messagesOf(configuration), bitrateOf(configuration)).filter((time) => time !== undefined),
  ),
};

const frameTimeOfEach = memoMap(({ message }: NamedMessage, bitrate: MaybeOperand) => {
  const result = timeOf(message, bitrate);
  return result && message.length && derivedValue(frameTime, result, message.length.node);
});

/** The frames on the bus, whatever signals they carry. */
interface Traffic {
  readonly timings: readonly physics.BusMessage[];
  /** The response time in s of each frame that has one, by `frameKey`. */
  readonly responses: ReadonlyMap<string, number | undefined>;
  /** The bits of all frames per second. */
  readonly demand: physics.FrameBits;
  readonly bitrate: Operand;
}

/** The traffic of the bus. Most edits of a message leave its frame unchanged; then the previous traffic is reused. */
function trafficIn({ installation }: Derivation, before: Traffic | undefined): Traffic | undefined {
  const { configuration } = installation;
  const bitrate = bitrateOf(configuration);
  if (!bitrate) return undefined;
  const timings = timedMessages(configuration).map(({ timing }) => timing);
  const isSame =
    before?.bitrate === bitrate &&
    before.timings.length === timings.length &&
    timings.every((one, i) => frameKey(one) === frameKey(before.timings[i]!));
  if (isSame) return before;
  const responses = physics.worstResponseTimes(timings, bitrate.canonical);
  return {
    timings,
    responses: new Map(timings.map((one, i) => [frameKey(one), responses[i]])),
    // At one bit per second, the load is the number of bits needed per second.
    demand: physics.busLoad(timings, 1),
    bitrate,
  };
}

/** Equal for frames with the same timing. */
const frameKey = ({ id, extended, data, period }: physics.BusMessage): string =>
  [id, extended, data, period].join();

/** How many other messages of `timings` have the same identifier or a higher priority. */
function overtaking(timings: readonly physics.BusMessage[], one: physics.BusMessage): number {
  return timings.filter((other) => physics.arbitration(other, one) <= 0).length - 1;
}

/**
 * The response time of every periodic message, in s, from queuing to its last bit, with every frame at its longest, no
 * errors and no unlisted sender. None for a message that may wait for ever.
 */
export const responseTime: FileValue = {
  id: 'response_time',
  label: 'Worst-case response time of the message',
  derive(derivation) {
    const traffic = derivation.once<Traffic | undefined>(trafficIn);
    if (!traffic) return [];
    const all = timedMessages(derivation.installation.configuration);
    return responseOfEach(all, traffic).filter((value) => value !== undefined);
  },
};

const responseOfEach = memoMap(({ message, timing }: TimedMessage, traffic: Traffic) => {
  const { timings, responses, bitrate } = traffic;
  const [response, time] = [responses.get(frameKey(timing)), timeOf(message, bitrate)];
  if (response === undefined || !time) return undefined;
  const waiting: Operand = {
    canonical: response - time.canonical,
    get how() {
      return waitsFor(overtaking(timings, timing), timings.length);
    },
  };
  const result = apply(physics.responseTime, { waiting, time });
  return result && derivedValue(responseTime, result, message.every!.node);
});

function waitsFor(higher: number, all: number): string {
  const frames = [
    ...(all > higher + 1 ? ['one frame already in transmission'] : []),
    ...(higher > 0
      ? [`all frames of ${counted(higher, 'message')} of higher priority that are queued during the wait`]
      : []),
  ];
  return frames.length > 0 ? frames.join(', then ') : 'no other message is sent';
}

/** The message of lowest priority; undefined if none is periodic. */
export function lowestPriority(configuration: EngineConfiguration): TimedMessage | undefined {
  return [...timedMessages(configuration)].sort((a, b) => physics.arbitration(a.timing, b.timing)).at(-1);
}

export const worstResponseTime: FileValue = {
  id: 'worst_response_time',
  label: 'Worst-case response time of the lowest-priority message',
  derive: (derivation) => {
    const { configuration } = derivation.installation;
    const last = lowestPriority(configuration);
    const response =
      last && derivation.get(responseTime).find(({ node }) => node === last.message.every?.node);
    if (!response) return [];
    const result = withNote(response.result, `of \`${last.name}\``);
    return [derivedValue(worstResponseTime, result, configuration.bus!.bitrate!.node)];
  },
};

function load(id: string, label: string, length: keyof physics.FrameBits, stuffing: string): FileValue {
  const value: FileValue = {
    id,
    label,
    derive(derivation) {
      const { configuration } = derivation.installation;
      const timed = timedMessages(configuration);
      const traffic = derivation.once<Traffic | undefined>(trafficIn);
      const bitrate = bitrateOf(configuration);
      if (!traffic || !bitrate || timed.length === 0) return [];
      const demand = {
        canonical: traffic.demand[length],
        get how() {
          return `${listOf(timed, length)}, ${stuffing}`;
        },
      };
      const result = apply(physics.busUtilization, { demand, bitrate }, leftOut(configuration, timed));
      return result ? [derivedValue(value, result, bitrate.node)] : [];
    },
  };
  return value;
}

/** `111 bit every 50 ms, 79 bit every 200 ms` */
function listOf(timed: readonly TimedMessage[], length: keyof physics.FrameBits): string {
  return timed
    .map(({ timing }) => {
      const bits = physics.frameBits(timing)[length];
      return `${bits} bits every ${formatQuantity(timing.period, 'ms')}`;
    })
    .join(', ');
}

/** Names the messages that are not counted, because they have no valid frame or no period. */
function leftOut(
  configuration: Pick<EngineConfiguration, 'bus'>,
  timed: readonly TimedMessage[],
): string | undefined {
  const all = messagesOf(configuration);
  if (timed.length === all.length) return undefined;
  const counted = new Set(timed.map(({ name }) => name));
  const names = all.filter(({ name }) => !counted.has(name)).map(({ name }) => `\`${name}\``);
  return `without ${names.join(', ')}: no valid frame or period`;
}

/** With frames that have no stuff bits. */
export const busLoad = load('bus_load', 'Bus load', 'nominal', 'no stuff bits');

export const busLoadWorstCase = load(
  'bus_load_worst_case',
  'Bus load with maximum bit stuffing',
  'worst',
  'maximum stuff bits',
);
