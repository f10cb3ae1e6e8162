import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';

const FIXTURES = new URL('../fixtures/', import.meta.url);
const NAMES = [
  'complete.engine.yaml',
  'complete.controller.yaml',
  'wired.engine.yaml',
  'wired.controller.yaml',
  'standby.controller.yaml',
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

/** Circuit and ends of each line of the fixture, read without the program. */
const circuits = Array.from(
  readFileSync(new URL('wired.engine.yaml', FIXTURES), 'utf8').matchAll(
    /^ {4}(\w+):\s+\{\s*from: (\S+),\s+to:\s+(\[[^\]]*\]|\S+),/gm,
  ),
  ([, name, from, to]) => ({ name: name!, from: from!, to: to!.replace(/[[\]\n]/g, '').split(/,\s*/) }),
);

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
      circuits.map(({ name, from, to }) => [name, from, to.join(' ').trim()]),
    );
    expect(lines.find((line) => line.startsWith('coil_supply,'))).toMatch(/,16 AWG,red,1\.8,,IGN 10 A$/);
    expect(lines.find((line) => line.startsWith('map_signal,'))).toMatch(
      /,bulkhead\.1,22 AWG,white-blue,0\.9,,$/,
    );
  });

  test('the page has every circuit, connector, splice, shield, sensor and light', async () => {
    const page = await paper('installer');
    for (const { name, from, to } of circuits)
      for (const text of [name, from, ...to]) expect(page).toContain(text.trim());
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
    expect(page).toContain(
      'Bit rate 500 kbit/s; convention canaerospace; pins B19 and B20; terminated with 120 ohm at the controller',
    );
    expect(page).toContain('0 off, 1 caution, 2 warning');
    expect(page).toMatch(/<h2>Standby controller<\/h2>[\s\S]*S13[\s\S]*ignition_1[\s\S]*ignition-driver/);
    // Wires of 16 AWG: one of 1.8 m; red wires of 18 AWG: 1.6 and three of 1.5 m.
    expect(page).toMatch(/Total<\/strong><\/th><td>18 AWG[\s\S]{0,300}<strong>6\.1<\/strong>/);
  });

  test('a file without circuits has the wires of its connectors', async () => {
    const complete = join(workshop().folder, 'complete.engine.yaml');
    const { out } = await enginewright('report', complete, '--for', 'installer', '--format', 'csv');
    expect(out.split('\r\n')[1]).toBe('supply,main_power.1,,,16 AWG,,1.4,,10 A');
  });
});

test('for the pilot there are lights, switch positions, limits and failures on a page', async () => {
  const page = await paper('pilot');
  expect(page).toMatch(
    /move <strong>standby_switch<\/strong> to the standby controller[\s\S]*outputs\.wastegate/,
  );
  expect(page).toMatch(
    /Status on the panel display[\s\S]*lights[\s\S]*off, caution, warning[\s\S]*climb, ferry/,
  );
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
