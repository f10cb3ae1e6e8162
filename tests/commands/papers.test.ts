import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { enginewright, folderOf } from '../support/command-line.ts';
import { drawnCircuits, facesOn, wiresOn } from './paper-reading.ts';

const FIXTURES = new URL('../fixtures/', import.meta.url);
const NAMES = [
  'complete.engine.yaml',
  'complete.controller.yaml',
  'wired.engine.yaml',
  'wired.controller.yaml',
];

const TEXTS = Object.fromEntries(NAMES.map((name) => [name, readFileSync(new URL(name, FIXTURES), 'utf8')]));

/** The wired installation in a folder of its own. */
function workshop() {
  const folder = folderOf(TEXTS);
  return { folder, file: join(folder, 'wired.engine.yaml') };
}

const paper = async (reader: string, { file } = workshop()) => {
  const { status, out, err } = await enginewright('report', file, '--for', reader);
  expect({ status, err }).toEqual({ status: 0, err: '' });
  return out;
};

/** The circuits of a file, read without the program. */
const circuitsIn = (file: URL): WrittenCircuit[] => {
  const { harness } = parse(readFileSync(file, 'utf8')) as { harness: { circuits: Record<string, Written> } };
  return Object.entries(harness.circuits).map(([name, { from, to, via = [], colour = '' }]) => ({
    ...{ name, from, to: [to].flat(), via, colour },
  }));
};

interface Written {
  readonly from: string;
  readonly to: string | string[];
  readonly via?: string[];
  readonly colour?: string;
}

interface WrittenCircuit {
  readonly name: string;
  readonly from: string;
  readonly to: readonly string[];
  readonly via: readonly string[];
  readonly colour: string;
}

const circuits = circuitsIn(new URL('wired.engine.yaml', FIXTURES));

describe('for the installer', () => {
  test('the wire list as CSV has a line for each circuit, with its ends', async () => {
    const { status, out } = await enginewright(
      'report',
      workshop().file,
      '--for',
      'installer',
      '--format',
      'csv',
    );
    expect(status).toBe(0);
    const [head, ...lines] = out.trimEnd().split('\r\n');
    expect(head).toBe('circuit,from,to,via,gauge,colour,length_m,shield,protector');
    expect(circuits.length).toBeGreaterThan(40);
    expect(lines.map((line) => line.split(',').slice(0, 3))).toEqual(
      circuits.map(({ name, from, to }) => [name, from, to.join(' ')]),
    );
    expect(lines.find((line) => line.startsWith('coil_supply,'))).toMatch(/,16 AWG,red,1\.8,,IGN 10 A$/);
    expect(lines.find((line) => line.startsWith('map_signal,'))).toMatch(
      /,bulkhead\.1,22 AWG,white-blue,0\.9,,$/,
    );
  });

  test('the page has every circuit, connector, splice, shield, sensor and light', async () => {
    const page = await paper('installer');
    for (const { name, from, to } of circuits)
      for (const text of [name, from, ...to]) expect(page).toContain(text);
    for (const title of [
      'Wire list by circuit',
      'Wire list by connector',
      'Cut list',
      'Lamp test',
      'First start',
    ])
      expect(page).toContain(`<h2>${title}</h2>`);
    for (const text of [
      'Controller connector C',
      'Connector bulkhead',
      'DEMO-20S',
      'shield knock',
      'warning_light',
    ])
      expect(page).toContain(text);
    // Wires of 16 AWG: one of 1.8 m; red wires of 18 AWG: 1.6, 1.5 and 1.5 m.
    expect(page).toMatch(/Total<\/strong><\/th><td>18 AWG[\s\S]{0,300}<strong>4\.6<\/strong>/);
  });

  test('a file without circuits has the wires of its connectors', async () => {
    const complete = join(workshop().folder, 'complete.engine.yaml');
    const { out } = await enginewright('report', complete, '--for', 'installer', '--format', 'csv');
    expect(out.split('\r\n')[1]).toBe('supply,main_power.1,,,16 AWG,,1.4,,10 A');
  });
});

test('for the pilot there are lights, switch positions, limits and failures on a page', async () => {
  const page = await paper('pilot');
  for (const text of ['caution_light', 'Switch mode_switch', 'climb', '5700 rpm', 'fuel-cut', 'Failures'])
    expect(page).toContain(text);
  const words = page
    .replace(/<style>[\s\S]*?<\/style>/, '')
    .replace(/<[^>]*>/g, ' ')
    .split(/\s+/);
  expect(words.length).toBeLessThan(450);
});

test('no paper has the path of the folder, even if the file is named by it', async () => {
  const shop = workshop();
  for (const reader of ['reviewer', 'installer', 'pilot'])
    expect(await paper(reader, shop)).not.toContain(shop.folder);
  for (const format of ['html', 'markdown']) {
    const { out } = await enginewright('faults', shop.file, '--format', format);
    expect(out).not.toContain(shop.folder);
  }
});

test('CSV is only for the installer', async () => {
  expect((await enginewright('report', workshop().file, '--format', 'csv')).status).toBe(2);
});

describe('who has only the installer’s paper of the turbocharged sample', () => {
  const sample = new URL('../../samples/dotterel/dotterel-16t.engine.yaml', import.meta.url);
  const written = circuitsIn(sample);
  const sorted = (list: readonly string[]) => [...list].sort();

  test('finds every wire from terminal to terminal in the list', async () => {
    const page = await paper('installer', { folder: '', file: fileURLToPath(sample) });
    expect(written.length).toBeGreaterThan(80);
    expect(wiresOn(page)).toEqual(
      written.map(({ name, from, to, via, colour }) => ({ name, ends: [from, ...to], via, colour })),
    );
  });

  test('finds the same at every position of every connector, also at those of the controller', async () => {
    const page = await paper('installer', { folder: '', file: fileURLToPath(sample) });
    const faces = facesOn(page);
    const at = (place: string) => faces.filter((position) => position.place === place);
    for (const { name, from, to, via, colour } of written) {
      const ends = [from, ...to];
      for (const place of ends.filter((end) => end.startsWith('controller.')))
        expect(at(place)).toEqual([{ place, name, ends: ends.filter((end) => end !== place), colour }]);
      for (const place of via) expect(at(place)).toEqual([{ place, name, ends, colour }]);
    }
    const used = new Set(written.flatMap(({ from, to, via }) => [from, ...to, ...via]));
    expect(faces.filter(({ name, place }) => name !== '' && !used.has(place))).toEqual([]);
  });

  test('reaches the same ends by following the lines of the drawings', async () => {
    const page = await paper('installer', { folder: '', file: fileURLToPath(sample) });
    const drawn = drawnCircuits(page);
    expect(sorted([...drawn.keys()])).toEqual(sorted(written.map(({ name }) => name)));
    for (const { name, from, to, via } of written)
      expect(sorted(drawn.get(name)!), name).toEqual(sorted([from, ...to, ...via]));
  });
});
