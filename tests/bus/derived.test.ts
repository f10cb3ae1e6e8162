import { describe, expect, test } from 'vitest';
import { allValues } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { valueText } from '../../shared/derived/value.ts';
import { analyseCase } from '../support/fixture.ts';

function busOf(bitrate: string, messages: Readonly<Record<string, string>>): DerivedValue[] {
  const lines = Object.entries(messages).map(([name, message]) => `    ${name}: { ${message} }`);
  const text = `enginefile: 1\nbus:\n  bitrate: ${bitrate}\n  messages:\n${lines.join('\n')}\n`;
  return allValues(analyseCase(new Map([['x.engine.yaml', text]])).derivation!);
}

const one = (values: readonly DerivedValue[], id: string, name = ''): DerivedValue | undefined =>
  values.find((value) => value.id === id && value.at.includes(name));

describe('load', () => {
  const SIX = {
    a: 'id: 0x100, length: 8 byte, every: 10 ms',
    b: 'id: 0x101, length: 8 byte, every: 10 ms',
    c: 'id: 0x110, length: 8 byte, every: 20 ms',
    d: 'id: 0x120, length: 4 byte, every: 50 ms',
    e: 'id: 0x200, length: 8 byte, every: 100 ms',
    f: 'id: 0x300, length: 2 byte, every: 1 s',
  };

  // Sums computed by another program, from frame lengths that agree with canframelen.c of can-utils, revision 95aae6b.
  test.each([
    ['250 kbit/s', 0.122012, 0.1483],
    ['500 kbit/s', 0.061006, 0.07415],
    ['1 Mbit/s', 0.030503, 0.037075],
  ])('of six messages at %s', (bitrate, nominal, worst) => {
    const values = busOf(bitrate, SIX);
    expect(one(values, 'bus_load')?.canonical).toBeCloseTo(nominal, 9);
    expect(one(values, 'bus_load_worst_case')?.canonical).toBeCloseTo(worst, 9);
    expect(one(values, 'bus_load')?.at).toBe('bus.bitrate');
  });

  test('29-bit frames are 20 bit longer, and the working says what was counted', () => {
    const load = one(
      busOf('250 kbit/s', { a: 'id: 1, extended: true, length: 8 byte, every: 10 ms' }),
      'bus_load',
    );
    // 131 bit of ISO 11898-1 a hundred times a second
    expect(load?.substituted).toBe('13.1 kbit/s / 250 kbit/s = 5.24 %');
    expect(load?.inputs[0]?.how).toBe('131 bits every 10 ms, no stuff bits');
  });

  test('what is not sent in time is not counted, and named', () => {
    const values = busOf('250 kbit/s', {
      a: 'id: 1, length: 0 byte, every: 10 ms',
      b: 'id: 2, length: 8 byte',
    });
    // 47 bit of a frame without data
    expect(one(values, 'bus_load')).toMatchObject({
      canonical: expect.closeTo(0.0188, 9),
      note: 'without `b`: no valid frame or period',
    });
  });
});

describe('times', () => {
  test('of a frame: 135 bit at 500 kbit/s', () => {
    const time = one(busOf('500 kbit/s', { a: 'id: 1, length: 8 byte, every: 10 ms' }), 'frame_time');
    expect(time?.canonical).toBeCloseTo(270e-6, 12);
    expect(time?.at).toBe('bus.messages.a.length');
  });

  test('the counter-example of Davis, Burns, Bril and Lukkien 2007, from memory: 3.5 ms for the last', () => {
    const values = busOf('125 kbit/s', {
      c: 'id: 3, length: 7 byte, every: 3.5 ms',
      a: 'id: 1, length: 7 byte, every: 2.5 ms',
      b: 'id: 2, length: 7 byte, every: 3.5 ms',
    });
    const times = ['a', 'b', 'c'].map((name) => one(values, 'response_time', `messages.${name}.`)!);
    expect(times.map(valueText)).toEqual(['2 ms', '3 ms', '3.5 ms']);
    const worst = one(values, 'worst_response_time');
    expect(worst?.canonical).toBe(times[2]!.canonical);
    expect(worst?.note).toContain('of `c`');
  });

  test('of the same first 11 bits, the base frame wins over the extended one', () => {
    const values = busOf('125 kbit/s', {
      long: `id: ${0x123 * 2 ** 18}, extended: true, length: 8 byte, every: 10 ms`,
      short: 'id: 0x123, length: 8 byte, every: 10 ms',
    });
    expect(one(values, 'worst_response_time')?.note).toContain('of `long`');
  });

  test('a message that may wait for ever has none', () => {
    const values = busOf('125 kbit/s', { a: 'id: 1, length: 8 byte, every: 1 ms' });
    expect(one(values, 'response_time')).toBeUndefined();
    expect(one(values, 'worst_response_time')).toBeUndefined();
    expect(one(values, 'bus_load_worst_case')?.canonical).toBeCloseTo(1.08, 9);
  });
});

describe('signals', () => {
  const ends = (signal: string, quantity = 'oil_temperature') => {
    const values = busOf('125 kbit/s', {
      m: `id: 1, length: 8 byte, signals: { ${quantity}: { ${signal} } }`,
    });
    return ['signal_lowest', 'signal_highest', 'signal_resolution'].map((id) => {
      const value = one(values, id);
      return value && valueText(value);
    });
  };

  // The ranges are those that cantools 39.4.13 states for the same bits, scales and offsets.
  test.each([
    ['start_bit: 0, bits: 8, scale: 1 K, offset: -40 °C', '-40 °C', '215 °C', '1 K'],
    ['start_bit: 0, bits: 12, signed: true, scale: 0.1 K, offset: 0 °C', '-204.8 °C', '204.7 °C', '0.1 K'],
    ['start_bit: 0, bits: 3, scale: 1 °C', '0 °C', '7 °C', '1 K'],
    ['start_bit: 0, bits: 8, scale: 1 K', '0 K', '255 K', '1 K'],
    ['start_bit: 0, bits: 8, scale: -1 K, offset: 100 °C', '-155 °C', '100 °C', '1 K'],
  ])('{ %s } carries %s to %s in steps of %s', (signal, low, high, step) => {
    expect(ends(signal)).toEqual([low, high, step]);
  });

  test('a pressure is measured from what its offset or its range says', () => {
    expect(ends('start_bit: 0, bits: 8, scale: 0.1 bar, offset: -1 bar gauge', 'oil_pressure')).toEqual([
      '-1 bar gauge',
      '24.5 bar gauge',
      '0.1 bar',
    ]);
    expect(ends('start_bit: 0, bits: 8, scale: 1 kPa, range: 0..200 kPa abs', 'ambient_pressure')).toEqual([
      '0 kPa abs',
      '255 kPa abs',
      '1 kPa',
    ]);
  });

  test.each([
    ['', [undefined, undefined, undefined]],
    ['start_bit: 0, bits: 0, scale: 1 K', [undefined, undefined, '1 K']],
    ['start_bit: 0, bits: 8.5, scale: 1 K', [undefined, undefined, '1 K']],
    ['start_bit: 0, bits: 900, scale: 1 K', [undefined, undefined, '1 K']],
    ['start_bit: 0, bits: 8, scale: 1 K, offset: 2 bar', [undefined, undefined, undefined]],
  ])('half written: { %s }', (signal, expected) => {
    expect(ends(signal)).toEqual(expected);
  });
});

test.each(['', '0 kbit/s', '-1 kbit/s', 'x'])('a bit rate of "%s" gives no time and no load', (bitrate) => {
  const values = busOf(bitrate, { a: 'id: 1, length: 8 byte, every: 1 ms' });
  expect(values.filter(({ id }) => /load|time/.test(id))).toEqual([]);
});
