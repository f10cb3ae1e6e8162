import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { displayWidth } from '../../server/formats/layout.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

function engineFile(engine = completeEngine): string {
  const folder = folderOf({ 'x.engine.yaml': engine, 'complete.controller.yaml': completeController });
  return join(folder, 'x.engine.yaml');
}

interface Value {
  readonly id: string;
  readonly at: string;
  readonly value: number;
  readonly unit: string;
  readonly label: string;
  readonly formula: string;
  readonly substituted: string;
  readonly source: string;
}

async function derived(...args: string[]): Promise<{ file: string; values: Value[] }> {
  const { status, out } = await enginewright('derive', '--format', 'json', ...args);
  expect(status).toBe(0);
  return JSON.parse(out);
}

/** Whether a value has everything that the format page promises. */
function hasItsKeys({ id, at, label, value, unit, formula, substituted, source }: Value): boolean {
  const number = typeof value === 'number' && substituted.includes(' ');
  const sourced = /\[(published|from memory|computed|definition|common practice)(: [^\]]+)?\]/.test(source);
  return (
    number && sourced && /^[a-z_]+$/.test(id) && formula.includes(' = ') && [at, label, unit].every(Boolean)
  );
}

test('no name in a file reaches the terminal as anything but a name', async () => {
  const name = String.raw`"oil\n\n::warning::x\x1b[2J\u202e##[error]y![i](https://example.org/i.png)<b>"`;
  const path = engineFile(completeEngine.replace('  oil_pressure:\n', () => `  ${name}:\n`));
  for (const format of ['text', 'markdown']) {
    const { out } = await enginewright('derive', '--format', format, path);
    expect(out).toContain('oil');
    expect(out).not.toMatch(/[^\P{Cc}\n]|\u202e/u);
    expect(out).not.toMatch(/^\s*::/m);
    expect(out).not.toContain('##[');
    if (format === 'markdown') expect(out).not.toMatch(/(?<!\\)(?:\[i|<b>)/);
  }
});

/** From the note of the source of the pulse width. */
const LIST_OF_TERMS = 'only its list of terms was read';

describe('as JSON', () => {
  test('a value says which of its numbers are outside the range of the formula', async () => {
    const path = engineFile(completeEngine.replace('isa_deviation: 15 K', 'isa_deviation: -120 K'));
    const { values } = await derived(path);
    const at = 'operating_points.take_off';
    const outside = values.filter((value) => value.at === at && 'outside_valid_range' in value);
    expect(outside[0]).toMatchObject({
      id: 'ambient_temperature',
      outside_valid_range: [
        {
          symbol: 'ΔT',
          label: 'deviation from standard temperature',
          value: -120,
          unit: 'K',
          low: -60,
          high: 60,
        },
      ],
    });
    for (const format of ['text', 'markdown']) {
      const { out } = await enginewright('derive', '--format', format, path);
      expect(out.replaceAll(/\s+/g, ' ')).toContain('standard temperature -120 K is outside -60 to 60 K');
    }
  });

  test('every value has the keys of the format page', async () => {
    const path = engineFile();
    const { file, values } = await derived(path);
    expect(file).toBe(path);
    expect(values.length).toBeGreaterThan(20);
    expect(values.filter((value) => !hasItsKeys(value))).toEqual([]);
  });

  test('values are in the base unit that stands beside them', async () => {
    const { values } = await derived(engineFile());
    const one = (id: string, at?: string) =>
      values.find((value) => value.id === id && (!at || value.at === at));
    // π/4 · (0.084 m)² · 0.055 m · 4
    expect(one('displacement')).toMatchObject({ value: expect.closeTo(1.219189e-3, 9), unit: 'm3' });
    // 2 · 0.055 m · 5600 rpm / 60
    const speed = one('mean_piston_speed', 'operating_points.take_off');
    expect(speed).toMatchObject({ value: expect.closeTo(10.26667, 4), unit: 'm/s' });
    expect(one('injector_duty', 'operating_points.take_off')).toMatchObject({ unit: '1' });
  });

  test('the source of a value comes with its note', async () => {
    const { values } = await derived(engineFile());
    const sourceOf = (name: string) => values.find(({ id }) => id === name)!.source;
    expect(sourceOf('injector_pulse_width')).toContain(
      `SAE J1832: Low Pressure Gasoline Fuel Injector (2001), linear flow range: dynamic flow from static flow, pulse width and time offset [from memory: ${LIST_OF_TERMS}`,
    );
    expect(sourceOf('fuel_flow')).toBe('The formula is the definition [definition]');
  });

  test('of one point only', async () => {
    const { values } = await derived(engineFile(), '--point', 'cruise');
    expect(new Set(values.map(({ at }) => at))).toEqual(new Set(['operating_points.cruise']));
  });
});

describe('as text', () => {
  test('a value stands with its formula, the numbers, and the source, in at most 100 columns', async () => {
    const { status, out } = await enginewright('derive', engineFile());
    expect(status).toBe(0);
    expect(out).toMatch(/^ {2}Mean piston speed +10\.3 m\/s +\S+\n {4}c_m = 2 · S · n \/ 60\n/m);
    expect(out).toContain('\n        = 2 · 55 mm · 5600 rpm / 60 = 10.3 m/s\n');
    for (const line of out.split('\n').slice(1)) expect(displayWidth(line)).toBeLessThanOrEqual(100);
  });

  test('values of one label stand in a table, place by place, under their formula', async () => {
    const { out } = await enginewright('derive', engineFile());
    const [, block] = /^ {2}Coil energy {3}.*\n([\s\S]*?)\n\n/m.exec(out)!;
    const rows = block!.split('\n').filter((line) => line.includes('ignition.dwell.values'));
    expect(block).toMatch(/^ {4}E = L · I\^2 \/ 2\n/);
    expect(rows).toHaveLength(5);
    // 3 mH · (8.02 A)² / 2
    expect(rows[0]).toMatch(
      /^ {4}ignition\.dwell\.values\[0\] {2}96\.\d+ mJ {2}= 3 mH · \(8\.02 A\)\^2 \/ 2$/,
    );
  });

  test('what the file says of a point stands with the point', async () => {
    const { out } = await enginewright('derive', engineFile());
    const [whole] = out.split('\nOperating point ');
    expect(whole).not.toContain('operating_points.');
  });

  test('every source that is named is listed at the end', async () => {
    const { out } = await enginewright('derive', engineFile());
    const [values, list] = out.split('\nSources\n') as [string, string];
    const keys = [...values.matchAll(/^ {2}\S.* {2}([a-z][a-z0-9.-]+(?:, [a-z][a-z0-9.-]+)*)$/gm)];
    expect(keys.length).toBeGreaterThan(20);
    for (const key of keys.flatMap((match) => match[1]!.split(', '))) expect(list).toContain(`  ${key} `);
  });

  test('each source in the list comes with its note', async () => {
    const { out } = await enginewright('derive', engineFile());
    const list = out.split('\nSources\n')[1]!.replace(/\s+/g, ' ');
    expect(list).toContain(`[from memory: ${LIST_OF_TERMS}`);
  });
});

test('as Markdown, each group is a table whose rows have as many cells as its head', async () => {
  const { status, out } = await enginewright('derive', engineFile(), '--format', 'markdown');
  expect(status).toBe(0);
  expect(out).toMatch(/^## Operating point take\\_off$/m);
  const rows = out.split('\n').filter((line) => line.startsWith('|'));
  expect(rows.length).toBeGreaterThan(20);
  for (const row of rows) expect(row.match(/(?<!\\)\|/g)).toHaveLength(5);
  expect(out).toMatch(/^- \*\*sae-j1832\*\* .*from memory: only its list of terms was read/m);
});

describe('refusals', () => {
  test('a point that is not there is answered with those that are', async () => {
    const { status, out, err } = await enginewright('derive', engineFile(), '--point', 'landing');
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toContain("Operating point 'landing' does not exist; use 'take_off' or 'cruise'.");
  });

  test('a controller file has nothing to derive from', async () => {
    const folder = folderOf({ 'x.controller.yaml': completeController });
    const { status, err } = await enginewright('derive', join(folder, 'x.controller.yaml'));
    expect(status).toBe(2);
    expect(err).toContain("'derive' takes an engine file (*.engine.yaml).");
  });

  test('an empty file gives no value, and that is not a success', async () => {
    const path = engineFile('');
    const { status, err } = await enginewright('derive', path);
    expect(status).toBe(2);
    expect(err).toContain(`Nothing can be derived from ${path}.`);
  });

  test('a file with errors gives what can be known, and says so', async () => {
    const path = engineFile(completeEngine.replace('bore: 84 mm', 'bore: 84 kPa'));
    const { status, out, err } = await enginewright('derive', path);
    expect(status).toBe(0);
    expect(out).toContain('Mean piston speed');
    expect(out).not.toContain('Displacement');
    expect(err).toMatch(/has \d+ errors?, so values may be missing or wrong\./);
  });
});

test('the conditions of a point are told as its formulas tell them', async () => {
  const { out } = await enginewright('derive', engineFile(), '--point', 'cruise');
  expect(out).toMatch(/pressure altitude 8000 ft · ISA deviation/);
});
