import { describe, expect, test } from 'vitest';
import { installationViewOf } from '../../server/features/installation-view.ts';
import { analyse } from '../../shared/analysis.ts';
import { endNumberStart } from '../../shared/configuration/pins.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { editor } from '../features/marked.ts';
import { completeController, completeEngine } from '../support/command-line.ts';
import { times, withAirFuelRatios, withRoughMap, withSpikes } from '../support/large.ts';

const PATH = '/installation/complete.engine.yaml';

/** The maximum CPU time of each, in s. With quadratic time it would be minutes. */
const MOST_TIME = 30;

/** The findings of a text by rule. Fails if the time is not proportional to the size of the text. */
function rulesOf(text: string): Map<string, number> {
  const project = createProject((path) => (path === PATH ? text : completeController));
  const before = process.cpuUsage();
  const { findings } = analyse(project, PATH)!;
  const { user, system } = process.cpuUsage(before);
  expect((user + system) / 1e6).toBeLessThan(MOST_TIME);
  const counts = new Map<string, number>();
  for (const { rule } of findings) counts.set(rule, (counts.get(rule) ?? 0) + 1);
  return counts;
}

/** The complete engine with other entries in a section. */
function withSection(name: string, entries: string): string {
  const written = new RegExp(`^${name}:\\n(?:[ ].*\\n)*`, 'm');
  expect(completeEngine).toMatch(written);
  return completeEngine.replace(written, () => `${name}:\n${entries}`);
}

const replaced = (what: string, by: string): string => {
  expect(completeEngine).toContain(what);
  return completeEngine.replace(what, () => by);
};

describe('thousands of entries are judged in bearable time', { timeout: 240_000 }, () => {
  const MANY = 10_000;

  test('sensors, each on a pin that is not there', () => {
    const scaling = 'scaling: { 0.5 V: 0 °C, 4.5 V: 150 °C }';
    const one = (i: number) =>
      `  s${i}: { measures: oil_temperature, kind: linear, pin: Q${i}, ${scaling} }\n`;
    expect(rulesOf(withSection('sensors', times(MANY, one))).get('pin-unknown')).toBeGreaterThan(MANY - 1);
  });

  test('injectors of one pin and cylinder', () => {
    const one = (i: number) => `  o${i}: { drives: injector, cylinder: 1, pin: C1 }\n`;
    expect(rulesOf(withSection('outputs', times(MANY, one))).get('pin-used-twice')).toBe(MANY - 1);
  });

  test('signals of a bus that all lie on the same bits', () => {
    const one = (i: number) => `        s${i}: { start_bit: 0, bits: 16, scale: 0.25 rpm, offset: 0 rpm }\n`;
    const message = 'id: 1, extended: true, length: 8 byte, every: 50 ms';
    const [first, ...facts] = message.split(', ');
    const head = [
      '  bitrate: 500 kbit/s',
      '  messages:',
      '    m:',
      ...[first, ...facts].map((f) => `      ${f}`),
    ];
    const text = withSection('bus', `${head.join('\n')}\n      signals:\n${times(MANY, one)}`);
    expect(rulesOf(text).get('bus-signal-overlap')).toBe(MANY - 1);
  });

  test('comments that accept what is not there, one under the other', () => {
    const text = completeEngine + times(2 * MANY, () => '# accept pump-margin: measured\n');
    expect(rulesOf(text).get('acceptance-without-finding')).toBe(2 * MANY);
  });

  test('keys that are unknown, in braces', () => {
    const keys = times(20_000, (i) => `, k${i}: ${i}`);
    const rules = rulesOf(
      replaced('overrun_cut: { above: 2200 rpm', `overrun_cut: { above: 2200 rpm${keys}`),
    );
    expect(rules.get('unknown-key')).toBe(20_000);
  });

  test('keys that are unknown, a hundred thousand', () => {
    const text = completeEngine + times(100_000, (i) => `zz${i}: 1\n`);
    expect(rulesOf(text).get('unknown-key')).toBe(100_000);
  });

  test('sensors of which nothing but the name is written, in braces', () => {
    const text = withSection('sensors', '').replace(
      'sensors:\n',
      () => `sensors: { ${times(10 * MANY, (i) => `s${i}, `)} }\n`,
    );
    expect(rulesOf(text).get('wrong-type')).toBe(10 * MANY);
  });

  test('trims in braces, each with a unit that fits no trim', () => {
    const trims = times(3 * MANY, (i) => `, ${i + 5}: 1.5 kPa`);
    const rules = rulesOf(replaced('cylinder_trim: { 1: 0 %', `cylinder_trim: { 1: 0 %${trims}`));
    expect(rules.get('unit-of-wrong-kind')).toBe(3 * MANY);
  });

  test('keys that are unknown, each accepted', () => {
    const text = completeEngine + times(MANY, (i) => `# accept unknown-key: known\nzz${i}: 1\n`);
    expect(rulesOf(text).get('unknown-key')).toBeUndefined();
  });
});

test('the panel of an installation tells in bearable time of thousands of pins that are at fault', () => {
  const scaling = 'scaling: { 0.5 V: 0 °C, 4.5 V: 150 °C }';
  const one = (i: number) => `  s${i}: { measures: oil_temperature, kind: linear, pin: Q${i}, ${scaling} }\n`;
  const text = withSection('sensors', times(5000, one));
  const project = createProject((path) => (path === PATH ? text : completeController));
  const analysis = analyse(project, PATH)!;
  const before = process.cpuUsage().user;
  const { connectors } = installationViewOf(analysis, editor)!.plan;
  expect((process.cpuUsage().user - before) / 1e6).toBeLessThan(10);
  const pins = connectors.flatMap(({ pins }) => pins);
  expect(pins.filter(({ faults }) => faults.some(({ check }) => check === 'pin-unknown')).length).toBe(5000);
});

describe('a list of any length is no fault of the program', { timeout: 240_000 }, () => {
  // More arguments than a function call can have.
  const MANY = 150_000;

  test('of breakpoints', () => {
    const text = replaced('breakpoints: [1000, 3000, 5000, 6000]', `breakpoints: [${'9,'.repeat(MANY)}]`);
    expect(rulesOf(text).get('duplicate-breakpoint')).toBe(MANY - 1);
  });

  test('of words that fit nowhere', () => {
    const text = replaced('action: [light]', `action: [${'a,'.repeat(MANY)}]`);
    expect(rulesOf(text).size).toBeGreaterThan(0);
  });

  test('of cells', () => {
    const text = replaced('- [48, 56, 60, 57]', `- [${'60,'.repeat(MANY)}]`);
    expect(rulesOf(text).size).toBeGreaterThan(0);
  });

  test('of maps with 300 rows and columns', () => {
    const points = (from: number, to: number) => times(300, (i) => `${from + (i * (to - from)) / 299}, `);
    const rows = times(300, (j) => `      - [${times(300, (i) => `${50 + (i + j) / 20}, `)}]\n`);
    const map = `  volumetric_efficiency:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [${points(1000, 6000)}] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [${points(30, 180)}] }
    unit: "%"
    values:
${rows}`;
    const text = completeEngine.replace(/ {2}volumetric_efficiency:\n(?: {4}.*\n)+/, () => map);
    const found = rulesOf(text);
    expect(text.length).toBeGreaterThan(400_000);
    for (const rule of ['syntax-error', 'duplicate-breakpoint']) expect(found.has(rule)).toBe(false);
  });
});

describe('maps of 400 rows and columns are judged in bearable time', { timeout: 240_000 }, () => {
  test('of random cells', () => {
    expect(rulesOf(withRoughMap(400, 'volumetric_efficiency')).has('map-larger-than-storage')).toBe(true);
  });

  test('of cells that one in twenty stands out of', () => {
    expect(rulesOf(withSpikes(400, 'volumetric_efficiency')).get('cell-outlier')).toBeGreaterThan(100);
  });

  test('of advances out of their range in every row', () => {
    // Besides, the charge temperature retard takes one state further out than any cell.
    expect(rulesOf(withRoughMap(400, 'advance')).get('advance-outside-range')).toBe(400 + 1);
  });

  test('of air-fuel ratios, with a fix in every row that writes every cell', () => {
    const rules = rulesOf(withAirFuelRatios(400));
    expect(rules.get('lambda-outside-plausible')).toBe(400);
  });
});

describe('a long run of one character is read once', () => {
  test('of blanks inside a reason', () => {
    const reason = `measured${' '.repeat(300_000)}twice`;
    const found = rulesOf(`${completeEngine}# accept unknown-key: ${reason}\nzz: 1\n`);
    expect(found.get('unknown-key')).toBeUndefined();
  });

  test('of digits inside the name of a pin', () => {
    expect(rulesOf(replaced('pin: A2', `pin: ${'1'.repeat(300_000)}x`)).get('pin-unknown')).toBe(1);
  });
});

test.each([
  ['A10', 1],
  ['A', 1],
  ['12', 0],
  ['A1B', 3],
  ['', 0],
])('the number at the end of the pin %j begins at %d', (name, start) => {
  expect(endNumberStart(name)).toBe(start);
});
