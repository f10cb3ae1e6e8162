import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { capped } from '../../shared/checks/capped.ts';
import { folded } from '../../shared/checks/folded.ts';
import { analyseCase } from '../support/fixture.ts';

const complete = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');

/** The complete engine with some text replaced or, without a replacement, removed. */
function changed(...changes: readonly (readonly [was: string | RegExp, is?: string])[]): string {
  return changes.reduce((text, [was, is = '']) => {
    const after = text.replace(was, is);
    expect(after, `${was} is not in the text`).not.toBe(text);
    return after;
  }, complete);
}

const analysed = (text: string, more: Record<string, string> = {}) =>
  analyseCase(new Map([['case.engine.yaml', text], ...Object.entries(more)]));

/** What a reader sees, without information: each finding by its check, with the messages of its related places. */
function shown(text: string, more: Record<string, string> = {}): Record<string, string[]>[] {
  return capped(analysed(text, more).findings)
    .filter(({ severity }) => severity === 'error' || severity === 'warning')
    .map(({ severity, rule, message, related }) => ({
      [`${severity} ${rule}`]: [message, ...related.map((one) => one.message)],
    }));
}

const light = (limit: string, meaning: string) =>
  `\`${limit}\` needs a light with the meaning \`${meaning}\`, but no output drives one.`;
const unmeasured = (who: string, quantity: string) => `${who} \`${quantity}\`, but no sensor measures it.`;

describe('one cause is one finding', () => {
  test('a light that several limits need', () => {
    expect(shown(changed([/ {2}warning_light:.*\n/]))).toEqual([
      { 'error light-missing': [light('oil_pressure_low', 'warning'), light('overspeed', 'warning')] },
    ]);
  });

  test('two missing lights stay two', () => {
    expect(shown(changed([/ {2}warning_light:.*\n/], [/ {2}caution_light:.*\n/]))).toEqual([
      { 'error light-missing': [light('oil_pressure_low', 'caution'), light('overspeed', 'caution')] },
      { 'error light-missing': [light('oil_pressure_low', 'warning'), light('overspeed', 'warning')] },
    ]);
  });

  test('a limit that several operating points are beyond', () => {
    const limit =
      '  rail_low: { watches: fuel_pressure, below: { caution: 3.2 bar, warning: 2.5 bar }, hysteresis: 0.1 bar, action: [light] }\n';
    expect(shown(changed([/^protection:\n/m, `protection:\n${limit}`]))).toEqual([
      {
        'warning limit-inside-operating-point': [
          'Fuel pressure at `take_off` is 3 bar, below the caution of `rail_low` at 3.2 bar.',
          'The caution of `rail_low`.',
          'Fuel pressure at `cruise` is 3 bar, below the caution of `rail_low` at 3.2 bar.',
        ],
      },
    ]);
  });

  test('two limits stay two, each with its points, and the point beyond the warning comes first', () => {
    const rail =
      '  rail_low: { watches: fuel_pressure, below: { caution: 3.2 bar, warning: 2.5 bar }, hysteresis: 0.1 bar, action: [light] }\n';
    const text = changed(
      [/^protection:\n/m, `protection:\n${rail}`],
      ['above: { caution: 5700 rpm, warning: 5850 rpm }', 'above: { caution: 4500 rpm, warning: 5500 rpm }'],
    );
    const found = shown(text).filter((one) => Object.keys(one)[0]!.endsWith('limit-inside-operating-point'));
    expect(found.map((one) => Object.entries(one)[0]!)).toEqual([
      ['warning limit-inside-operating-point', expect.arrayContaining([expect.stringMatching(/rail_low/)])],
      [
        'error limit-inside-operating-point',
        [
          'Engine speed at `take_off` is 5600 rpm, above the warning of `overspeed` at 5500 rpm.',
          'The warning of `overspeed`.',
          'Engine speed at `cruise` is 4600 rpm, above the caution of `overspeed` at 4500 rpm.',
        ],
      ],
    ]);
  });

  test('a sensor that a loop, a limit and a message need, told by two checks', () => {
    const text = changed(
      [/ {2}fuel_pressure:\n(?: {4}.*\n)+/],
      [
        /^protection:\n/m,
        'protection:\n  rail_low: { watches: fuel_pressure, below: { caution: 2.7 bar }, hysteresis: 0.1 bar, action: [light] }\n',
      ],
      [
        '        engine_speed: {',
        '        fuel_pressure: { start_bit: 40, bits: 8, scale: 0.05 bar }\n        engine_speed: {',
      ],
    );
    expect(shown(text)).toEqual([
      {
        'error fuel-pressure-loop-without-sensor': [
          'The fuel pressure loop uses `fuel_pressure`, but no sensor has that name.',
          unmeasured('The limit `rail_low` watches', 'fuel_pressure'),
          unmeasured('The message `engine_1` carries', 'fuel_pressure'),
        ],
      },
    ]);
  });

  test('two missing sensors stay two, of several alike too', () => {
    const text = (...sensors: string[]) => `
enginefile: 1
sensors:
  crank: { measures: crank_position, kind: toothed-wheel, teeth: 60, missing: 2 }
${sensors.map((one) => `  ${one}: { measures: "exhaust_gas_temperature[${one.at(-1)}]", kind: thermocouple, type: K }`).join('\n')}
protection:
  oil: { watches: oil_pressure, below: { warning: 0.7 bar gauge }, hysteresis: 0.1 bar, action: [limp] }
  hot_1: { watches: "exhaust_gas_temperature[1]", above: { warning: 900 °C }, hysteresis: 9 K, action: [limp] }
  hot_2: { watches: "exhaust_gas_temperature[2]", above: { warning: 900 °C }, hysteresis: 9 K, action: [limp] }
`;
    const found = (yaml: string) =>
      shown(yaml).flatMap((one) =>
        one['warning quantity-not-measured'] ? [one['warning quantity-not-measured']] : [],
      );
    const oil = unmeasured('The limit `oil` watches', 'oil_pressure');
    const hot = (i: number) => unmeasured(`The limit \`hot_${i}\` watches`, `exhaust_gas_temperature[${i}]`);
    expect(found(text())).toEqual([[oil], [hot(1), hot(2)]]);
    expect(found(text('egt_3'))).toEqual([[oil], [hot(1)], [hot(2)]]);
    expect(found(text('egt_1'))).toEqual([[oil], [hot(2)]]);
  });

  test('a cam sensor that injection and ignition need', () => {
    const text = changed([/ {2}cam:.*\n/], ['arrangement: wasted-spark', 'arrangement: per-cylinder']);
    expect(shown(text).filter((one) => 'error sequential-needs-phase' in one)).toEqual([
      {
        'error sequential-needs-phase': [
          'Sequential injection needs a cam sensor, but the engine has none.',
          'One coil per cylinder needs a cam sensor, but the engine has none, so the coils would also fire during valve overlap.',
        ],
      },
    ]);
    expect(shown(text).filter((one) => 'warning sequential-needs-phase' in one)).toEqual([]);
  });

  test('fault bounds that are missing, with what follows from it', () => {
    const text = changed([/( {2}oil_pressure:\n(?: {4}.*\n)*?) {4}fault_outside:.*\n/, '$1']);
    expect(shown(text)).toEqual([
      {
        'warning fault-bounds-missing': [
          '`oil_pressure` has no `fault_outside`, so the controller would treat the voltage of a broken wire as a reading.',
          expect.stringMatching(
            /^`oil_pressure` has no `fault_outside`: .* `oil_pressure_low` may not light/,
          ),
        ],
      },
    ]);
  });

  test('a sensor that reads less than several limits need', () => {
    const text = changed(
      ['B3, maximum: 1000 °C', 'B3, maximum: 800 °C'],
      [
        /^protection:\n/m,
        'protection:\n  hot: { watches: exhaust_gas_temperature, above: { caution: 850 °C, warning: 900 °C }, hysteresis: 9 K, action: [light] }\n',
      ],
    );
    const found = shown(text).filter((one) => 'error limit-outside-sensor-range' in one);
    expect(found).toHaveLength(1);
    expect(found[0]!['error limit-outside-sensor-range']).toHaveLength(4);
  });

  test('two sensors that read too little stay two', () => {
    const text = changed(
      ['B3, maximum: 1000 °C', 'B3, maximum: 800 °C'],
      ['4.5 V: 10 bar gauge', '4.5 V: 0.5 bar gauge'],
    );
    expect(shown(text).filter((one) => 'error limit-outside-sensor-range' in one)).toHaveLength(2);
  });

  test('a cylinder that does not exist, in several sections; two cylinders stay two', () => {
    const unknown = (text: string) =>
      shown(text).flatMap((one) => (one['error cylinder-unknown'] ? [one['error cylinder-unknown'][0]] : []));
    expect(unknown(changed(['cylinders: 4', 'cylinders: 3']))).toEqual([
      'Cylinder 4 does not exist; the engine has 3 cylinders.',
    ]);
    expect(unknown(changed(['cylinders: 4', 'cylinders: 2']))).toEqual([
      'Cylinder 3 does not exist; the engine has 2 cylinders.',
      'Cylinder 4 does not exist; the engine has 2 cylinders.',
    ]);
  });

  test('a pin that is wrong in two ways; two wrong pins stay two', () => {
    const moved = changed(['cylinder: 2, pin: C2 }', 'cylinder: 2, pin: A1 }']);
    expect(shown(moved)).toEqual([
      {
        'error pin-role-mismatch': [
          'Pin `A1` has the role `analog-input`, but `injector_2` needs a pin with the role `injector-driver`.',
          'The role of the pin.',
          'Pin `A1` is used by `manifold_pressure` and by `injector_2`.',
        ],
      },
    ]);
    const two = changed(['pin: C2 }', 'pin: A12 }'], ['pin: C3 }', 'pin: B19 }']);
    expect(shown(two).map((one) => Object.keys(one)[0])).toEqual([
      'error pin-role-mismatch',
      'error pin-role-mismatch',
    ]);
  });

  test('a message that is too short for several signals, with one fix for all', () => {
    const text = changed([/(id: 0x320\n(?: {6}.*\n)*? {6}length: )8 byte/, '$12 byte']);
    const found = capped(analysed(text).findings).filter(({ severity }) => severity === 'error');
    expect(found.map(({ rule, related }) => [rule, related.length])).toEqual([
      ['bus-signal-outside-message', 2],
    ]);
    expect(found[0]!.fixes.map(({ title }) => title)).toContain('Change the length to 5 bytes');
  });

  test('a signal that covers several others, and reaches over the end', () => {
    const text = changed(
      ['start_bit: 16, bits: 16', 'start_bit: 16, bits: 56'],
      ['range: 0..300 kPa abs', ''],
    );
    const found = capped(analysed(text).findings).filter(({ severity }) => severity === 'error');
    expect(found.map(({ rule, related }) => [rule, related.at(-1)!.message])).toEqual([
      ['bus-signal-outside-message', '`oil_temperature` overlaps bits 32 to 39 of `manifold_pressure`.'],
    ]);
  });

  test('two signals at the place of a third stay two, as each must be moved', () => {
    const text = changed(
      ['start_bit: 16, bits: 16', 'start_bit: 0, bits: 16'],
      ['start_bit: 32', 'start_bit: 0'],
    );
    expect(shown(text).map((one) => Object.keys(one)[0])).toEqual([
      'error bus-signal-overlap',
      'error bus-signal-overlap',
    ]);
  });

  test('upper and lower limit that leave no value between them', () => {
    const text = changed([
      /^protection:\n/m,
      'protection:\n  oil_high: { watches: oil_pressure, above: { caution: 0.4 bar gauge, warning: 0.6 bar gauge }, hysteresis: 0.1 bar, action: [light] }\n',
    ]);
    const found = shown(text).filter((one) => 'error limits-leave-no-room' in one);
    expect(found).toHaveLength(1);
    expect(found[0]!['error limits-leave-no-room']).toHaveLength(3);
  });

  test('an exhaust temperature target above its limit and above a caution', () => {
    const text = changed(
      ['[800, 820]', '[800, 900]'],
      [
        /^protection:\n/m,
        'protection:\n  hot: { watches: exhaust_gas_temperature, above: { caution: 890 °C, warning: 930 °C }, hysteresis: 9 K, action: [light] }\n',
      ],
    );
    expect(shown(text).map((one) => Object.keys(one)[0])).toEqual(['error exhaust-target-above-limit']);
  });

  test('a bus that cannot carry its messages', () => {
    const text = changed(['every: 50 ms', 'every: 0.2 ms']);
    const found = shown(text).filter((one) => /bus-load|bus-period/.test(Object.keys(one)[0]!));
    expect(found.map((one) => Object.keys(one)[0])).toEqual(['error bus-load-high']);
    expect(Object.values(found[0]!)[0]).toHaveLength(2);
  });

  test('a selector that names no switch', () => {
    const text = changed(['selector: mode_switch', 'selector: mode_swich']);
    expect(shown(text).map((one) => Object.keys(one)[0])).toEqual(['error selector-missing']);
  });
});

describe('a folded finding', () => {
  const withoutLight = changed([/ {2}warning_light:.*\n/]);

  test('is in the whole list, which is compared and accepted', () => {
    const { findings } = analysed(withoutLight);
    expect(findings.filter(({ rule }) => rule === 'light-missing')).toHaveLength(2);
    expect(folded(findings)).toHaveLength(findings.length - 1);
    expect(folded(folded(findings))).toEqual(folded(findings));
  });

  test('is not accepted by a comment above another one', () => {
    const comment = '    # accept light-missing: the display shows it\n';
    const text = withoutLight.replace(/^ {4}action: \[light\]/m, `${comment}    action: [light]`);
    expect(shown(text)).toEqual([{ 'error light-missing': [light('overspeed', 'warning')] }]);
  });

  test('stands where this file writes it, with what its base file writes as related', () => {
    const own = `
based_on: ./base.engine.yaml
protection:
  oil_hot: { watches: oil_temperature, above: { warning: 120 °C }, hysteresis: 3 K, action: [light] }
`;
    const finding = capped(analysed(own, { 'base.engine.yaml': withoutLight }).findings).filter(
      ({ rule }) => rule === 'light-missing',
    );
    expect(finding).toHaveLength(1);
    expect(finding[0]!.writtenAt).toBeUndefined();
    expect(finding[0]!.message).toBe(light('oil_hot', 'warning'));
    expect(finding[0]!.related.map(({ file }) => file)).toEqual([
      '/installation/base.engine.yaml',
      '/installation/base.engine.yaml',
    ]);
  });

  test('is counted but not listed from the twentieth related place on', () => {
    const limits = Array.from(
      { length: 30 },
      (_, i) =>
        `  oil_${i}: { watches: oil_temperature, above: { warning: 120 °C }, hysteresis: 3 K, action: [light] }\n`,
    );
    const [found] = shown(withoutLight.replace(/^protection:\n/m, `protection:\n${limits.join('')}`));
    expect(found!['error light-missing']).toHaveLength(1 + 20 + 1);
    expect(found!['error light-missing']!.at(-1)).toBe(
      'From here on, 11 more findings with this cause are not listed.',
    );
  });
});
