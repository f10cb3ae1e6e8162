import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { busReport, type ReportedMessage } from '../../server/formats/bus-report.ts';
import { codingOf, messagesOf, placeOf, signalsOf } from '../../shared/derived/bus-signals.ts';
import { readSignal, writeSignal } from '../../shared/physics/bus-signal.ts';
import { toUnit } from '../../shared/quantity/index.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';
import { analyseCase } from '../support/fixture.ts';

const here = (name: string) => readFileSync(new URL(name, import.meta.url), 'utf8');

interface LibraryMessage {
  readonly name: string;
  readonly id: number;
  readonly extended: boolean;
  readonly length: number;
  readonly period: number;
  readonly comments: Readonly<Record<string, string>>;
  readonly units: Readonly<Record<string, string>>;
  readonly ranges: Readonly<Record<string, readonly [number, number]>>;
  readonly frames: readonly {
    readonly data: string;
    readonly counts: Readonly<Record<string, number>>;
    readonly values: Readonly<Record<string, number>>;
  }[];
}

/** The result of parsing panel.dbc with canmatrix 0.9.5, an independent library; see frames.py. */
const library: readonly LibraryMessage[] = JSON.parse(here('frames.json'));

const panel = analyseCase(new Map([['panel.engine.yaml', here('panel.engine.yaml')]]));
const { configuration } = panel.installation!;
const ours = busReport('panel.engine.yaml', panel.derivation!).messages;

/** The names that the format allows. */
const identifier = (name: string) => name.replace(/[^\w]+/g, '_').replace(/_$/, '');

const oursNamed = (name: string): ReportedMessage => ours.find((one) => identifier(one.name) === name)!;

async function exported(text: string, format: string): Promise<string> {
  const folder = folderOf({ 'x.engine.yaml': text, 'complete.controller.yaml': completeController });
  const { status, out, err } = await enginewright('bus', `${folder}/x.engine.yaml`, '--format', format);
  expect(err).toBe('');
  expect(status).toBe(0);
  return out;
}

describe('the database file and a library that reads it', () => {
  test('the export is, letter for letter, the file that the library read', async () => {
    expect(await exported(here('panel.engine.yaml'), 'dbc')).toBe(here('panel.dbc'));
  });

  test('the library finds every message, with its identifier, length and period', () => {
    expect(library.map(({ name, id, extended, length }) => ({ name, id, extended, length }))).toEqual(
      ours.map(({ name, id, extended, length }) => ({ name: identifier(name), id, extended, length })),
    );
    // Whole milliseconds; 0 for a message without a period, or with one that is not a whole number of milliseconds.
    expect(library.map(({ period }) => period)).toEqual([50, 100, 0, 0]);
  });

  test('the library finds the units, ranges and names of all signals', () => {
    for (const message of library) {
      const { signals } = oursNamed(message.name);
      for (const { name, label, unit, minimum, maximum } of signals) {
        expect(message.units[identifier(name)]).toBe(unit.replace('°', 'deg'));
        expect(message.ranges[identifier(name)]).toEqual([minimum, maximum]);
        expect(message.comments[identifier(name)]).toBe(label);
      }
      expect(Object.keys(message.units)).toHaveLength(signals.length);
    }
  });

  const frames = library.flatMap(({ name, frames }) =>
    frames.map((frame) => ({ name, ...frame, signals: oursNamed(name).signals })),
  );

  test.each(frames)(
    'frame $data of $name, packed by the library, is read alike',
    ({ data, values, signals }) => {
      const bytes = Uint8Array.from(Buffer.from(data, 'hex'));
      for (const signal of signals) {
        const value = Number(readSignal(bytes, signal)) * signal.factor + signal.offset;
        expect(value).toBeCloseTo(values[identifier(signal.name)]!, 6);
      }
    },
  );

  test.each(frames)(
    '$counts of $name are packed as the library unpacks them',
    ({ data, counts, signals }) => {
      const packed = signals.reduce<Uint8Array>(
        (bytes, signal) => writeSignal(bytes, signal, BigInt(counts[identifier(signal.name)]!)),
        new Uint8Array(data.length / 2),
      );
      expect(Buffer.from(packed).toString('hex')).toBe(data);
    },
  );

  test('canonical values are the library’s values in the unit that is read', () => {
    for (const { name, message } of messagesOf(configuration)) {
      const { frames } = library.find((one) => one.name === identifier(name))!;
      for (const frame of frames) {
        const bytes = Uint8Array.from(Buffer.from(frame.data, 'hex'));
        for (const { name, signal } of signalsOf(message)) {
          const { step, zero, show } = codingOf(signal)!;
          const canonical = Number(readSignal(bytes, placeOf(signal)!)) * step + zero;
          const value = show === '' ? canonical : toUnit(canonical, show);
          expect(value).toBeCloseTo(frame.values[identifier(name)]!, 6);
        }
      }
    }
  });
});

/**
 * Statements of a database file that cantools 39.4.13 read and wrote. The frames that it packed accordingly are in the
 * tests of published values for the bus.
 */
test.each([
  ['start_bit: 0, bits: 16, scale: 0.25 rpm', 'engine_speed', '0|16@1+ (0.25,0) [0|16383.75] "rpm"'],
  [
    'start_bit: 16, bits: 8, scale: 1 K, offset: -40 °C',
    'oil_temperature',
    '16|8@1+ (1,-40) [-40|215] "degC"',
  ],
  [
    'start_bit: 24, bits: 12, signed: true, scale: 0.1 %',
    'wastegate_position',
    '24|12@1- (0.1,0) [-204.8|204.7] "%"',
  ],
  ['start_bit: 49, bits: 3, scale: 1', 'lambda', '49|3@1+ (1,0) [0|7] ""'],
  [
    'start_bit: 7, bits: 16, byte_order: big, scale: 0.25 rpm',
    'engine_speed',
    '7|16@0+ (0.25,0) [0|16383.75] "rpm"',
  ],
  [
    'start_bit: 31, bits: 12, byte_order: big, signed: true, scale: 0.1 %',
    'wastegate_position',
    '31|12@0- (0.1,0) [-204.8|204.7] "%"',
  ],
])('{ %s } is stated as cantools states it', async (signal, quantity, statement) => {
  const out = await exported(oneSignal(quantity, signal), 'dbc');
  expect(out).toContain(` SG_ ${quantity} : ${statement} display\n`);
});

function oneSignal(quantity: string, signal: string, message = 'id: 1, length: 8 byte'): string {
  return `enginefile: 1\nbus:\n  bitrate: 1 Mbit/s\n  messages:\n    m: { ${message}, signals: { ${quantity}: { ${signal} } } }\n`;
}

test('a floating-point signal is stated with its type, 1 for 32 bits and 2 for 64', async () => {
  const signal = 'start_bit: 39, bits: 32, byte_order: big, encoding: float, scale: 1 K, offset: 0 K';
  const out = await exported(oneSignal('coolant_temperature', signal), 'dbc');
  expect(out).toContain(' SG_ coolant_temperature : 39|32@0- (1,0) [');
  expect(out).toContain('SIG_VALTYPE_ 1 coolant_temperature : 1;\n');
  const json = JSON.parse(await exported(oneSignal('coolant_temperature', signal), 'json'));
  expect(json.messages[0].signals[0]).toMatchObject({ encoding: 'float', factor: 1, offset: 0, unit: 'K' });
  // The largest number of binary32.
  expect(json.messages[0].signals[0].maximum).toBeCloseTo(3.40282346639e38, -28);
});

describe('a status signal', () => {
  const STATES = 'start_bit: 0, bits: 2, of: lights, states: { 2: warning, 0: off, 1: caution }';
  const text = () =>
    oneSignal('panel lights', STATES).replace(
      'bus:',
      'outputs:\n  caution_light: { drives: light, meaning: caution }\n  warning_light: { drives: light, meaning: warning }\nbus:',
    );

  test('has a table of its states in the database file', async () => {
    const out = await exported(text(), 'dbc');
    expect(out).toContain(' SG_ panel_lights : 0|2@1+ (1,0) [0|3] "" display\n');
    expect(out).toContain('CM_ SG_ 1 panel_lights "Status of lights";\n');
    // The form of a value table: VAL_ message signal number "text" ... ;
    expect(out).toContain('VAL_ 1 panel_lights 0 "off" 1 "caution" 2 "warning" ;\n');
  });

  test('has its states in the other formats', async () => {
    const { messages } = JSON.parse(await exported(text(), 'json'));
    expect(messages[0].signals[0]).toMatchObject({
      of: 'lights',
      states: { 0: 'off', 1: 'caution', 2: 'warning' },
    });
    expect(await exported(text(), 'markdown')).toContain(
      '- panel lights, status of lights: 0 off, 1 caution, 2 warning\n',
    );
  });
});

describe('what the form cannot say', () => {
  test('an extended identifier has bit 31 set', async () => {
    const message = 'id: 0x18FEF100, extended: true, length: 8 byte';
    const out = await exported(oneSignal('lambda', 'start_bit: 0, bits: 8, scale: 0.01', message), 'dbc');
    // The number that cantools 39.4.13 reads for 0x18FEF100.
    expect(out).toContain('BO_ 2566844672 m: 8 controller\n');
  });

  test('names become identifiers, each once; a text has no quote and nothing beyond ASCII', async () => {
    const messages = ['"1 é"', '"1 ü"', '"a-b"', '"a b"'].map(
      (name, id) => `    ${name}: { id: ${id}, length: 1 byte, every: 10 ms, signals: {} }`,
    );
    const text = `enginefile: 1\ntitle: Ümläut "x" 5 °C\nbus:\n  bitrate: 1 Mbit/s\n  messages:\n${messages.join('\n')}\n`;
    const out = await exported(text, 'dbc');
    expect([...out.matchAll(/^BO_ \d+ (\S+):/gm)].map((match) => match[1])).toEqual([
      '_1',
      '_1_2',
      'a_b',
      'a_b_2',
    ]);
    expect(out).toContain(`CM_ "Umlaut 'x' 5 degC, 1000000 bit/s";`);
    expect(out).toMatch(/^[\n\x20-\x7e]*$/);
  });
});

test('as JSON, numbers are as in the database file, times in s', async () => {
  const { messages, load } = JSON.parse(await exported(here('panel.engine.yaml'), 'json'));
  expect(load).toEqual({ nominal: expect.closeTo(0.05524, 9), worst_case: expect.closeTo(0.0674, 9) });
  expect(messages[1]).toMatchObject({ name: 'big', id: 257, extended: false, length: 8, every: 0.1 });
  // 135 bit at 250 kbit/s
  expect(messages[1].frame_time).toBeCloseTo(540e-6, 12);
  expect(messages[3]).toMatchObject({ name: 'on_request', every: null, response_time: null });
  expect(messages[1].signals[3]).toEqual({
    ...{ name: 'charge_temperature', start_bit: 47, bits: 9, byte_order: 'big', signed: true },
    ...{ factor: 0.5, offset: 20, minimum: -108, maximum: 147.5, unit: '°C' },
  });
});

test('as Markdown, a message is a table of its signals', async () => {
  const out = await exported(here('panel.engine.yaml'), 'markdown');
  expect(out).toContain(
    '250 kbit/s · bus load 5.52 %, with maximum bit stuffing 6.74 % · maximum response time ',
  );
  expect(out).toContain('## fuel totals\n\nidentifier 0x18FF2001 (29 bits) · 8 bytes · every 12.5 ms · ');
  expect(out).toContain(
    '| exhaust\\_gas\\_temperature\\[2\\] | 26 | 11 | big | no | 0.5 | 0 | 0 | 1023.5 | °C |\n',
  );
  const rows = out.split('\n').filter((line) => line.startsWith('|'));
  for (const row of rows) expect(row.match(/(?<!\\)\|/g)).toHaveLength(11);
});

describe('a list that would be wrong is not printed', () => {
  const refused = async (text: string, reason: RegExp) => {
    const folder = folderOf({ 'x.engine.yaml': text, 'complete.controller.yaml': completeController });
    const { status, out, err } = await enginewright('bus', `${folder}/x.engine.yaml`);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(reason);
  };

  test('two signals share bits', () =>
    refused(completeEngine.replace('start_bit: 32', 'start_bit: 31'), /bus section of .* has 1 error/));

  test('a signal without a scale', () =>
    refused(oneSignal('lambda', 'start_bit: 0, bits: 8'), /bus section of .* has 1 error|'m\.lambda'/));

  test('a message without an identifier', () =>
    refused(
      oneSignal('lambda', 'start_bit: 0, bits: 8, scale: 1', 'length: 1 byte'),
      /error|not complete: `m`/,
    ));

  test('the base is missing, so messages may be', () =>
    refused(
      `based_on: ./base.engine.yaml\n${oneSignal('lambda', 'start_bit: 0, bits: 8, scale: 1')}`,
      /1 error/,
    ));

  test('no bus at all', () => refused('enginefile: 1\n', /no messages|no bus/));

  test('a controller file has none', async () => {
    const folder = folderOf({ 'x.controller.yaml': completeController });
    const { status, err } = await enginewright('bus', `${folder}/x.controller.yaml`);
    expect(status).toBe(2);
    expect(err).toContain('is a controller file');
  });

  test('an unrelated error does not keep the bus back', async () => {
    const out = await exported(completeEngine.replace('bore: 84 mm', 'bore: 84 kg'), 'dbc');
    expect(out).toContain('BO_ 800 engine_1: 8 controller\n SG_ engine_speed : 0|16@1+ (0.25,0)');
  });
});
