import type { BusSignal, EngineConfiguration } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import { nodeOf } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { messagesOf, type NamedSignal, signalsOf } from '../derived/bus-signals.ts';
import {
  isStatus,
  type SignalState,
  STATUS_SOURCES,
  type StatusSource,
  statesOf,
  statesOfSource,
  statusSource,
} from '../derived/bus-states.ts';
import { nearestWord } from '../quantity/index.ts';
import { insertEntry, removeEntry, replace } from '../source/edit.ts';
import { keyNode } from '../source/source-file.ts';
import type { ScalarNode } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck, type Fix, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { listed } from './words.ts';

/** The status signals of the bus. */
const statusesIn = (configuration: EngineConfiguration): NamedSignal[] =>
  messagesOf(configuration).flatMap(({ message }) =>
    signalsOf(message).filter(({ signal }) => isStatus(signal)),
  );

/** The key of a state, or its word where the key is not at hand. */
const keyOfState = ({ word }: SignalState): ScalarNode => keyNode(word.node);

export const busStateUnfit: Check = engineCheck({
  id: 'bus-state-unfit',
  severity: 'error',
  title: 'Invalid state number',
  page: {
    catches:
      'A state whose number is not a whole number, does not fit in the bits of its signal, or is already that of another state. A state with two numbers.',
    why: 'A number that does not fit is truncated: with two bits, the warning that is sent as 4 arrives as 0, which is off.',
    example:
      'signals:\n  lights: { start_bit: 0, bits: 1, of: lights, states: { 0: off, 1: caution, 2: warning } }   # 2 needs two bits',
    remedy: 'Use more bits or another number.',
    basis: 'Arithmetic: n bits carry the numbers 0 to 2ⁿ − 1.',
  },
  *find({ installation: { configuration } }) {
    for (const one of statusesIn(configuration)) yield* unfitIn(one);
  },
});

function* unfitIn({ name, signal }: NamedSignal): Iterable<Found> {
  const [byNumber, byWord] = [new Map<bigint, string>(), new Map<string, string>()];
  const { bits } = signal;
  for (const state of statesOf(signal)) {
    const { key, raw, word } = state;
    const at = keyOfState(state);
    if (raw === undefined) {
      yield {
        at,
        message: `The number of the state ${quote(word.text)} is ${quote(key)}; it must be a whole number.`,
      };
      continue;
    }
    const [same, before] = [byNumber.get(raw), byWord.get(word.text)];
    if (same !== undefined)
      yield { at, message: `The number ${key} of ${quote(word.text)} is also that of ${quote(same)}.` };
    else if (before !== undefined)
      yield { at, message: `${capital(quote(word.text))} has two numbers, ${before} and ${key}.` };
    byNumber.set(raw, word.text);
    byWord.set(word.text, key);
    if (!bits || !(bits.canonical >= 1 && bits.canonical <= 64)) continue;
    const largest = 2n ** BigInt(bits.canonical) - 1n;
    if (raw <= largest) continue;
    const needed = raw.toString(2).length;
    yield {
      at,
      message: `${capital(quote(word.text))} is ${key}, but ${quote(name)} has ${counted(bits.canonical, 'bit')}, for numbers up to ${largest}.`,
      related: [{ at: bits.node, message: 'The bits of the signal.' }],
      fixes:
        needed > 64
          ? []
          : [
              {
                title: `Change to ${needed} bits`,
                safety: 'choice',
                edits: [replace(bits.node, String(needed))],
              },
            ],
    };
  }
}

export const busStateSourceUnknown: Check = engineCheck({
  id: 'bus-state-source-unknown',
  severity: 'error',
  title: 'Unknown source of status signal',
  page: {
    catches:
      'A status signal whose `of` names nothing: an unknown word, a sensor that does not exist, lights or map sets that the file does not have. A sensor without fault bounds is a warning: the controller can never find it failed.',
    why: 'The display shows one state for ever, and the pilot takes it for the state of the engine.',
    example:
      'signals:\n  map: { start_bit: 0, bits: 1, of: map_set, states: { 0: tow, 1: ferry } }   # and no map_sets',
    remedy: 'Write `lights`, `map_set`, `sensor_faults` or `sensors.NAME`.',
    basis: 'The file format.',
  },
  *find({ installation: { configuration } }) {
    for (const { signal } of statusesIn(configuration)) {
      const { of } = signal;
      if (!of) continue;
      const source = statusSource(of.text);
      const fault = source ? lacking(configuration, source) : `${quote(of.text)} is not a known source`;
      if (fault === undefined) continue;
      const isBlind = source?.kind === 'sensor' && configuration.sensors?.[source.name] !== undefined;
      yield {
        at: of.node,
        severity: isBlind || source?.kind === 'sensor_faults' ? 'warning' : 'error',
        message: `${capital(fault)}, so the signal always shows the same state.`,
        fixes: nearestSource(configuration, of.text).map((text) => ({
          title: `Change to ${quote(text)}`,
          safety: 'choice',
          edits: [replace(of.node, text)],
        })),
      };
    }
  },
});

/** What a source needs and the file lacks, as a clause; undefined if nothing. */
function lacking(configuration: EngineConfiguration, source: StatusSource): string | undefined {
  const sensors = configuration.sensors ?? {};
  switch (source.kind) {
    case 'lights':
      return (statesOfSource(configuration, source)?.length ?? 0) > 1
        ? undefined
        : 'no output is a light with a meaning';
    case 'map_set':
      return statesOfSource(configuration, source)?.length ? undefined : 'the file has no map sets';
    case 'sensor_faults':
      return Object.values(sensors).some((sensor) => sensor.fault_outside)
        ? undefined
        : 'no sensor has fault bounds';
    case 'sensor': {
      const sensor = Object.hasOwn(sensors, source.name) ? sensors[source.name] : undefined;
      if (!sensor) return `the file has no sensor ${quote(source.name)}`;
      return sensor.fault_outside ? undefined : `the sensor ${quote(source.name)} has no \`fault_outside\``;
    }
  }
}

function nearestSource(configuration: EngineConfiguration, text: string): string[] {
  const known = [
    ...STATUS_SOURCES,
    ...Object.keys(configuration.sensors ?? {}).map((name) => `sensors.${name}`),
  ];
  const nearest = known.includes(text) ? undefined : nearestWord(text, known);
  return nearest === undefined ? [] : [nearest];
}

export const busStateUnknown: Check = engineCheck({
  id: 'bus-state-unknown',
  severity: 'error',
  title: 'Unknown state',
  page: {
    catches: 'A state that the lights or the map sets of the file do not have.',
    why: 'Its number is never sent. The state that was meant has no number, so the display cannot show it.',
    example:
      'signals:\n  map: { start_bit: 0, bits: 1, of: map_set, states: { 0: tow, 1: fery } }   # the map set is ferry',
    remedy: 'For lights use `off` and the meanings of the lights, for map sets their names.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const { signal, known } of withKnownStates(subject)) {
      const used = new Set(statesOf(signal).map(({ word }) => word.text));
      for (const { word } of statesOf(signal)) {
        if (known.includes(word.text)) continue;
        const nearest = nearestWord(
          word.text,
          known.filter((one) => !used.has(one)),
        );
        yield {
          at: word.node,
          message: `${capital(quote(word.text))} is not a state of \`${signal.of!.text}\`: ${listed(known.map(quote))}.`,
          cause: nearest === undefined ? undefined : nodeOf(signal),
          fixes:
            nearest === undefined
              ? []
              : [
                  {
                    title: `Change to ${quote(nearest)}`,
                    safety: 'choice',
                    edits: [replace(word.node, nearest)],
                  },
                ],
        };
      }
    }
  },
});

/** The status signals whose source defines the states, and has some. */
function withKnownStates({ installation: { configuration } }: EngineSubject) {
  return statusesIn(configuration).flatMap(({ name, signal }) => {
    const source = signal.of && statusSource(signal.of.text);
    if (!source || !signal.states || lacking(configuration, source) !== undefined) return [];
    const known = statesOfSource(configuration, source);
    return known ? [{ name, signal, known }] : [];
  });
}

export const busStateMissing: Check = engineCheck({
  id: 'bus-state-missing',
  severity: 'error',
  title: 'State without number',
  page: {
    catches:
      'A light or a map set of the file that has no number in the status signal. A status of sensors that has no state for 0, or only that one.',
    why: 'The controller has nothing to send in that state, and the display keeps showing the previous one.',
    example:
      'signals:\n  lights: { start_bit: 0, bits: 2, of: lights, states: { 0: off, 1: caution } }   # and there is a warning light',
    remedy: 'Add the state with a number that the display knows.',
    basis: 'The lights and map sets of the file.',
  },
  *find(subject) {
    for (const { name, signal, known } of withKnownStates(subject)) {
      const missing = known.filter((one) => statesOf(signal).every(({ word }) => word.text !== one));
      if (missing.length === 0) continue;
      yield {
        at: nodeOf(signal.states!),
        message: `${capital(quote(name))} has no number for ${listed(missing.map(quote))}.`,
        cause: nodeOf(signal),
        fixes: adding(signal, missing[0]!),
      };
    }
    const { configuration } = subject.installation;
    for (const { name, signal } of statusesIn(configuration)) {
      const source = signal.of && statusSource(signal.of.text);
      if (!signal.states || (source?.kind !== 'sensor_faults' && source?.kind !== 'sensor')) continue;
      const raws = statesOf(signal).flatMap(({ raw }) => raw ?? []);
      if (raws.length >= 2 && raws.includes(0n)) continue;
      yield {
        at: nodeOf(signal.states),
        message: raws.includes(0n)
          ? `${capital(quote(name))} has no number for a failed sensor.`
          : `${capital(quote(name))} has no state for 0, which is sent without a fault.`,
      };
    }
  },
});

/** Adds a state with the lowest number that is free and fits. */
function adding(signal: BusSignal, word: string): Fix[] {
  const taken = new Set(statesOf(signal).map(({ raw }) => raw));
  let raw = 0n;
  while (taken.has(raw)) raw++;
  const mapping = nodeOf(signal.states!);
  const bits = signal.bits?.canonical ?? 0;
  if (mapping.type !== 'mapping' || raw >= 2n ** BigInt(Math.min(64, Math.max(0, Math.floor(bits)))))
    return [];
  const edit = insertEntry(mapping, String(raw), { line: word }, mapping.entries.at(-1));
  return [{ title: `Add \`${raw}: ${word}\``, safety: 'choice', edits: [edit] }];
}

/** The keys that turn bits into a quantity. */
const SCALING = ['signed', 'scale', 'offset', 'range'] as const;

export const busStatesScaled: Check = engineCheck({
  id: 'bus-states-scaled',
  severity: 'error',
  title: 'Signal has both states and scale',
  page: {
    catches: 'A signal with `states` that also has a scale, an offset, a range or a sign.',
    why: 'The bits carry either a quantity or a state. A display that scales a state shows a number that means nothing.',
    example:
      'signals:\n  lights: { start_bit: 0, bits: 2, scale: 1, of: lights, states: { 0: off, 1: caution, 2: warning } }',
    remedy: 'Remove the keys of the scaling, or `states` and `of`.',
    basis: 'The file format.',
  },
  *find({ file, installation: { configuration } }) {
    for (const { name, signal } of statusesIn(configuration)) {
      const scaled = SCALING.filter((key) => signal[key] !== undefined);
      if (!signal.states || scaled.length === 0) continue;
      const mapping = nodeOf(signal);
      const entries = mapping.type === 'mapping' ? scaled.flatMap((key) => mapping.entry(key) ?? []) : [];
      const isSafe =
        entries.length === scaled.length &&
        entries.every((one) => one !== (mapping.type === 'mapping' ? mapping.entries[0] : undefined));
      const keys = listed(scaled.map(quote));
      yield {
        at: signal[scaled[0]!]!.node,
        message: `${capital(quote(name))} has \`states\` and also ${keys}; its bits carry either a state or a quantity.`,
        related: [{ at: nodeOf(signal.states), message: 'The states of the signal.' }],
        fixes:
          isSafe && mapping.type === 'mapping'
            ? [
                {
                  title: `Remove ${keys}`,
                  safety: 'choice',
                  edits: entries.flatMap((one) => removeEntry(file, mapping, one)),
                },
              ]
            : [],
      };
    }
  },
});
