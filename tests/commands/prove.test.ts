import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { pointValues } from '../../shared/derived/registry.ts';
import { boundText } from '../../shared/proof/witness.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const TWIN = `${SAMPLES}wheatear/wheatear-10.engine.yaml`;

interface Bound {
  readonly id: string;
  readonly side: 'high' | 'low';
  readonly map_set: string | null;
  readonly fault: string | null;
  readonly bound: number;
  readonly reached: number;
  readonly unit: string;
  readonly witness: Readonly<Record<string, string>>;
  readonly at_tolerance?: readonly { readonly at: string; readonly end: 'low' | 'high' }[];
  readonly limit: { readonly value: number; readonly at: string } | null;
  readonly verdict: 'holds' | 'broken' | 'open' | null;
}

const proved = async (...args: string[]) => {
  const { status, out } = await enginewright('prove', ...args, '--format', 'json');
  return {
    status,
    files: JSON.parse(out).files as { path: string; envelope: object; bounds: Bound[]; seconds: number }[],
  };
};

describe('as JSON', () => {
  test('each file has its envelope in canonical units and its bounds', async () => {
    const { files } = await proved(TWIN);
    const [{ envelope, bounds, seconds }] = files as [(typeof files)[0]];
    expect(envelope).toMatchObject({
      speed: [expect.any(Number), expect.any(Number)],
      battery_voltage: expect.any(Array),
    });
    expect(seconds).toBeGreaterThan(0);
    const duty = bounds.find(
      ({ id, side, fault }) => id === 'injector_duty' && side === 'high' && fault === null,
    )!;
    expect(duty).toMatchObject({ map_set: null, unit: '1', limit: { at: 'fuel.injectors.maximum_duty' } });
    expect(duty.bound).toBeGreaterThanOrEqual(duty.reached);
    expect((duty.bound - duty.reached) / duty.bound).toBeLessThanOrEqual(0.005);
    expect(Object.keys(duty.witness)).toEqual([
      'speed',
      'throttle',
      'manifold_pressure',
      'pressure_altitude',
      'isa_deviation',
      'coolant_temperature',
      'battery_voltage',
    ]);
  });

  test('a witness written as an operating point derives what was reached', async () => {
    const { files } = await proved(TWIN);
    // Conditions and distances from limits are not values of an operating point.
    const ids = new Set(pointValues.map(({ id }) => id));
    const found = files[0]!.bounds.filter(({ id, fault }) => fault === null && ids.has(id));
    expect(found.length).toBeGreaterThan(40);
    const points = found.map(({ witness }, i) => {
      const keys = Object.entries(witness).map(([key, value]) => `${key}: ${value}`);
      return `  witness_${i}: { ${keys.join(', ')} }\n`;
    });
    const folder = folderOf({
      'twin.engine.yaml': readFileSync(TWIN, 'utf8').replace(
        /^operating_points:\n/m,
        `operating_points:\n${points.join('')}`,
      ),
    });
    const { out } = await enginewright('derive', `${folder}/twin.engine.yaml`, '--format', 'json');
    const values = JSON.parse(out).values as { id: string; at: string; value: number }[];
    found.forEach(({ id, reached }, i) => {
      const derived = values.find((one) => one.id === id && one.at === `operating_points.witness_${i}`)!;
      expect(Math.abs(derived.value / reached - 1), id).toBeLessThan(5e-4);
    });
  });

  test('a witness names what is at an end of its tolerance, in the words of each format', async () => {
    const loose = readFileSync(TWIN, 'utf8').replace(
      'static_flow: 225 cc/min',
      'static_flow: 225 cc/min ± 2 %',
    );
    const path = `${folderOf({ 'twin.engine.yaml': loose })}/twin.engine.yaml`;
    const { files } = await proved(path);
    const [low, high] = (['low', 'high'] as const).map(
      (side) => files[0]!.bounds.find((one) => one.id === 'injector_duty' && one.side === side)!,
    );
    expect(high!.at_tolerance).toEqual([{ at: 'fuel.injectors.static_flow', end: 'low' }]);
    expect(low!.at_tolerance).toEqual([{ at: 'fuel.injectors.static_flow', end: 'high' }]);
    const speed = files[0]!.bounds.find(({ id }) => id === 'engine_speed')!;
    expect(speed).not.toHaveProperty('at_tolerance');
    for (const format of ['text', 'markdown']) {
      const { out } = await enginewright('prove', path, '--format', format);
      expect(out.replace(/\s+/g, ' ').replaceAll('\\', '')).toContain(
        'fuel.injectors.static_flow at the low end of its tolerance',
      );
    }
  });
});

/** The same engine with a rail that may fall so low that its injectors are too small. */
function weakTwin(): string {
  const text = readFileSync(TWIN, 'utf8');
  const weak = text.replace(/fault_pressure: [^,}\n]+/, 'fault_pressure: 2.2 bar gauge');
  expect(weak).not.toBe(text);
  return `${folderOf({ 'twin.engine.yaml': weak })}/twin.engine.yaml`;
}

describe('the exit status', () => {
  test('is 1 where a limit is broken, 0 where none is', async () => {
    expect((await enginewright('prove', TWIN)).status).toBe(0);
    expect((await enginewright('prove', weakTwin())).status).toBe(1);
  });

  test('is 2 where there is nothing to prove: silence would read as if all limits held', async () => {
    const controller = `${SAMPLES}dotterel/four-channel.controller.yaml`;
    const { status, out, err } = await enginewright('prove', controller);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toContain('needs an engine file');
  });

  test('is 2 where a file cannot be read, or an option makes no sense', async () => {
    expect((await enginewright('prove', 'no-such.engine.yaml')).status).toBe(2);
    expect(await enginewright('prove')).toMatchObject({
      status: 2,
      err: expect.stringContaining('at least one engine file'),
    });
    for (const option of ['--within=5', '--within=often', '--time=soon', '--time=5 minutes', '--time=0'])
      expect(await enginewright('prove', TWIN, option)).toMatchObject({
        status: 2,
        err: expect.stringContaining('cannot be'),
      });
  });
});

test('as text, broken limits come first, each with its witness, and the limits are counted', async () => {
  const { out } = await enginewright('prove', weakTwin());
  const [, first] = out.split('\n\n');
  expect(first).toMatch(
    /^ {2}broken {2}Injector duty ≤ \d.*rail\s+at\s+fault\s+pressure\n +reaches .* at \d+ rpm · /,
  );
  expect(out).toMatch(/\d+ bounds; \d+ limits hold everywhere · 1 broken\.\n$/);
});

test('as Markdown, each bound is a row', async () => {
  const { out } = await enginewright('prove', TWIN, '--format', 'markdown');
  expect(out).toContain('| Value | Side | Map set | Fault | Bound | Reached | Limit | Verdict | Witness |');
  expect(out.split('\n').filter((line) => line.startsWith('| Injector duty |')).length).toBeGreaterThan(2);
});

test('a bound for which there is no time is a first enclosure', async () => {
  const { files } = await proved(TWIN, '--time', '0.000001');
  const { bounds } = files[0]!;
  expect(bounds.some(({ bound, reached }) => Math.abs(bound - reached) > 0.02 * Math.abs(bound))).toBe(true);
  for (const { bound, reached, side } of bounds)
    expect(side === 'high' ? bound >= reached : bound <= reached).toBe(true);
});

test('a printed bound is rounded outward', () => {
  const text = (bound: number, side: 'high' | 'low') => boundText({ bound, show: '%', side });
  expect(text(0.862411, 'high')).toBe('86.25 %');
  expect(text(0.862411, 'low')).toBe('86.24 %');
  expect(text(-0.862411, 'high')).toBe('-86.24 %');
  expect(text(-0.862411, 'low')).toBe('-86.25 %');
  expect(text(0.5, 'high')).toBe('50 %');
});
