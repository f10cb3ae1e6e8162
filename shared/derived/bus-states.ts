import type { BusSignal, EngineConfiguration, Output } from '../../generated/configuration.ts';
import type { TextValue } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { isWholeCount } from '../physics/bus-signal.ts';
import { messagesOf } from './bus-signals.ts';
import { outputsThatDrive } from './loads.ts';

/** What a status signal tells. */
export type StatusSource =
  | { readonly kind: 'lights' | 'map_set' | 'sensor_faults' }
  | { readonly kind: 'sensor'; readonly name: string };

/** A light's meaning, the worst first: of several lights that are on, its state is sent. */
export const LIGHT_LEVELS = ['warning', 'caution', 'status'] as const satisfies readonly NonNullable<
  Output['meaning']
>['text'][];

/** The state of the lights while none is on. */
export const LIGHTS_OFF = 'off';

const SENSOR = 'sensors.';

/** The words that `of` may have besides `sensors.NAME`. */
export const STATUS_SOURCES = ['lights', 'map_set', 'sensor_faults'] as const;

/** What a text under `of` names; undefined if it is none of the known words. */
export function statusSource(text: string): StatusSource | undefined {
  if (text.startsWith(SENSOR)) return { kind: 'sensor', name: text.slice(SENSOR.length) };
  const kind = STATUS_SOURCES.find((word) => word === text);
  return kind && { kind };
}

/** The states that a source has, in the words of the file; undefined if the words are free. */
export function statesOfSource(
  configuration: EngineConfiguration,
  { kind }: StatusSource,
): readonly string[] | undefined {
  if (kind === 'map_set') return Object.keys(configuration.map_sets?.sets ?? {});
  if (kind !== 'lights') return undefined;
  const lights = outputsThatDrive(configuration, 'light');
  const used = LIGHT_LEVELS.filter((level) => lights.some(({ output }) => output.meaning?.text === level));
  return [LIGHTS_OFF, ...used.reverse()];
}

/** One state of a status signal. `raw` is undefined if its key is not a whole number of counts. */
export interface SignalState {
  readonly key: string;
  readonly raw: bigint | undefined;
  readonly word: TextValue;
}

/** The states of a signal by their numbers; empty for a signal with a scale. */
export const statesOf = memo(({ states }: BusSignal): readonly SignalState[] =>
  Object.entries(states ?? {}).map(([key, word]) => ({ key, raw: rawOf(key), word })),
);

const rawOf = (key: string): bigint | undefined => (isWholeCount(key) ? BigInt(key) : undefined);

/** Whether a signal carries a status and not a quantity. */
export const isStatus = ({ states, of }: BusSignal): boolean => states !== undefined || of !== undefined;

/** A status signal with its source. */
export interface StatusSignal {
  /** The key path of the signal. */
  readonly path: string;
  readonly source: StatusSource;
  readonly signal: BusSignal;
}

/** The status signals of the bus whose source is known, in the order of the file. */
export const statusSignals = (configuration: Pick<EngineConfiguration, 'bus'>): readonly StatusSignal[] =>
  messagesOf(configuration).flatMap(({ name: message, message: { signals } }) =>
    Object.entries(signals ?? {}).flatMap(([name, signal]) => {
      const source = signal.of && statusSource(signal.of.text);
      return source ? [{ path: `bus.messages.${message}.signals.${name}`, source, signal }] : [];
    }),
  );
