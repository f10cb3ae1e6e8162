import type { BusMessage } from '../../generated/configuration.ts';
import {
  busLoad,
  busLoadWorstCase,
  frameOf,
  frameTime,
  responseTime,
  worstResponseTime,
} from '../../shared/derived/bus.ts';
import {
  type DatabaseCoding,
  databaseCoding,
  isFloat,
  messagesOf,
  type NamedSignal,
  placeOf,
  signalsOf,
} from '../../shared/derived/bus-signals.ts';
import { isStatus, statesOf } from '../../shared/derived/bus-states.ts';
import type { Derivation, FileValue } from '../../shared/derived/derivation.ts';
import { rawRange, type BusSignal as SignalPlace, signalFits } from '../../shared/physics/bus-signal.ts';
import { measuredQuantity } from '../../shared/quantity/index.ts';
import type { Node } from '../../shared/source/tree.ts';

/** One signal: `value = raw value · factor + offset`, in `unit`. */
export interface ReportedSignal extends SignalPlace, DatabaseCoding {
  readonly name: string;
  /** `Exhaust gas temperature 2` */
  readonly label: string;
  /** Whether the raw value is a floating-point number. */
  readonly isFloat: boolean;
  /** The states of a status signal, lowest number first; its factor is 1, without a unit. */
  readonly states?: readonly ReportedState[];
  /** What a status signal tells of. */
  readonly of?: string;
}

export interface ReportedState {
  readonly raw: bigint;
  readonly name: string;
}

/** One message; times in s. */
export interface ReportedMessage {
  readonly name: string;
  readonly id: number;
  readonly extended: boolean;
  /** Bytes of data. */
  readonly length: number;
  readonly period: number | undefined;
  readonly frameTime: number | undefined;
  readonly responseTime: number | undefined;
  readonly signals: readonly ReportedSignal[];
}

/** The bus messages of one file; every format prints this. */
export interface BusReport {
  /** As the user named it. */
  readonly file: string;
  readonly title: string;
  readonly revision: string | undefined;
  /** bit/s */
  readonly bitrate: number | undefined;
  /** The bus load without stuff bits, and with the maximum number of them. */
  readonly load: { readonly nominal: number; readonly worstCase: number } | undefined;
  /** s, of the message with the lowest priority */
  readonly worstResponseTime: number | undefined;
  readonly messages: readonly ReportedMessage[];
  /** Messages and signals without a key that every receiver needs: `engine_2`, `engine_1.lambda`. */
  readonly incomplete: readonly string[];
}

/** Collects the bus messages of a file and their derived values. */
export function busReport(file: string, derivation: Derivation): BusReport {
  const { configuration } = derivation.installation;
  const all = messagesOf(configuration).map(({ name, message }) => {
    return reportedMessage(name, message, derivation) ?? name;
  });
  const [nominal, worst] = [derivation.one(busLoad), derivation.one(busLoadWorstCase)];
  return {
    file,
    title: configuration.title?.text ?? file,
    revision: configuration.revision?.text,
    bitrate: configuration.bus?.bitrate?.canonical,
    load: nominal && worst && { nominal: nominal.canonical, worstCase: worst.canonical },
    worstResponseTime: derivation.one(worstResponseTime)?.canonical,
    messages: all.flatMap((one) => (typeof one === 'string' ? [] : [one.message])),
    incomplete: all.flatMap((one) => (typeof one === 'string' ? [one] : one.incomplete)),
  };
}

interface Gathered {
  readonly message: ReportedMessage;
  readonly incomplete: readonly string[];
}

function reportedMessage(name: string, message: BusMessage, derivation: Derivation): Gathered | undefined {
  const frame = frameOf(message);
  if (!frame) return undefined;
  const signals = signalsOf(message).map((signal) => reportedSignal(signal, frame.data) ?? signal.name);
  const valueAt = (definition: FileValue, node: Node | undefined) =>
    derivation.at(definition, node)?.canonical;
  return {
    message: {
      name,
      id: frame.id,
      extended: frame.extended,
      length: frame.data / 8,
      period: message.every?.canonical,
      frameTime: valueAt(frameTime, message.length?.node),
      responseTime: valueAt(responseTime, message.every?.node),
      signals: signals.flatMap((one) => (typeof one === 'string' ? [] : [one])),
    },
    incomplete: signals.flatMap((one) => (typeof one === 'string' ? [`${name}.${one}`] : [])),
  };
}

function reportedSignal({ name, signal }: NamedSignal, dataBits: number): ReportedSignal | undefined {
  if (isStatus(signal)) return reportedStatus({ name, signal }, dataBits);
  const [place, coding] = [placeOf(signal), databaseCoding(signal)];
  if (!place || !coding || coding.factor === 0 || !signalFits(place, dataBits)) return undefined;
  const measured = measuredQuantity(name);
  const label = measured ? [measured.entry.label, measured.index].filter(Boolean).join(' ') : name;
  return { name, label, ...place, ...coding, isFloat: isFloat(signal) };
}

function reportedStatus({ name, signal }: NamedSignal, dataBits: number): ReportedSignal | undefined {
  const [place, states] = [placeOf(signal), statesOf(signal)];
  const known = states.flatMap(({ raw, word }) => (raw === undefined ? [] : [{ raw, name: word.text }]));
  if (!place || !signal.of || known.length !== states.length || known.length === 0) return undefined;
  if (!signalFits(place, dataBits)) return undefined;
  const [minimum, maximum] = rawRange(place).map(Number) as [number, number];
  return {
    ...{
      name,
      label: `Status of ${signal.of.text}`,
      ...place,
      factor: 1,
      offset: 0,
      minimum,
      maximum,
      unit: '',
    },
    states: known.sort((a, b) => Number(a.raw - b.raw)),
    of: signal.of.text,
    isFloat: false,
  };
}
