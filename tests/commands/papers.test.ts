import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { engineAnalysis } from '../../server/commands/engine-file.ts';
import { pilotPaper } from '../../server/formats/papers/pilot.ts';
import { revisionOf } from '../../server/revision.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';
import { drawnCircuits, facesOn, wiresOn } from './paper-reading.ts';

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
/** The visible text of a part of a page, with single spaces between words. */
const wordsOf = (page: string): string => page.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ');

/** A paper of an installation that is only this text. */
async function paperOf(reader: string, text: string): Promise<string> {
  const folder = folderOf({ 'a.engine.yaml': `enginefile: 1\ntitle: A\n${text}` });
  return paper(reader, { folder, file: join(folder, 'a.engine.yaml') });
}

/** The cells of the row of a light on the page of a reader. */
const lightRow = (page: string, light: string): string =>
  wordsOf(new RegExp(`<th scope="row">${light}</th>.*?</tr>`, 's').exec(page)?.[0] ?? '').trim();

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
    expect(lines.map((line) => line.split(',').slice(0, 3))).toEqual([
      ...circuits.map(({ name, from, to }) => [name, from, to.join(' ')]),
      // Its base file has a connector with wires, which are not part of any circuit.
      ...[1, 2, 3].map((position) => [position === 2 ? 'ground' : 'supply', `main_power.${position}`, '']),
    ]);
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
      'Light test',
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
    // Red wires of 18 AWG: 1.6 m to each of four injectors, 1.5 m to five ends, and two of 1.5 m.
    expect(page).toMatch(/Total<\/strong><\/th><td>18 AWG[\s\S]{0,300}<strong>16\.9<\/strong>/);
  });

  test('every conductor is in both lists once, with a box for each piece to cut', async () => {
    const text = `
harness:
  connectors:
    plug:
      wires:
        1: { circuit: joined, gauge: 20 AWG, length: 9 m }
        2: { circuit: supply, gauge: 20 AWG, length: 0.4 m }
  circuits:
    joined: { from: controller.A1, to: devices.a.signal, via: [plug.1], gauge: 20 AWG, length: 2 m }
    grounds: { from: splices.g, to: [devices.a.ground, devices.b.ground, devices.c.ground], gauge: 20 AWG, length: 0.5 m }
`;
    const page = await paperOf('installer', text);
    const cut = page.slice(
      page.indexOf('<h2>Cut list'),
      page.indexOf('</table>', page.indexOf('<h2>Cut list')),
    );
    const rows = [...cut.matchAll(/<tr>.*?<\/tr>/gs)].slice(1).map(([row]) => ({
      words: wordsOf(row).trim(),
      boxes: row.split('class="box"').length - 1,
    }));
    // 2 m + 3 × 0.5 m + 0.4 m
    expect(rows).toEqual([
      { words: 'joined 20 AWG 2 1 plug.1', boxes: 1 },
      { words: 'grounds 20 AWG 0.5 3', boxes: 3 },
      { words: 'supply 20 AWG 0.4 1', boxes: 1 },
      { words: 'Total 20 AWG 3.9', boxes: 0 },
    ]);
    expect(wordsOf(cut)).toContain('is listed as one length and is divided at each of them.');
    const list = page.slice(
      page.indexOf('<h2>Wire list by circuit'),
      page.indexOf('<h2>Wire list by connector'),
    );
    expect([...list.matchAll(/<th scope="row">(\w+)/g)].map(([, name]) => name)).toEqual([
      'joined',
      'grounds',
      'supply',
    ]);
  });

  test('each sensor has its own signal pin, and the first tooth of every wheel is named', async () => {
    const wheel = (tooth: number, pin: string) =>
      `{ kind: toothed-wheel, measures: engine_speed, teeth: 36, missing: 1, first_tooth: ${tooth} deg, pin: ${pin} }`;
    const page = await paperOf(
      'installer',
      `sensors:
  exhaust: { measures: lambda, kind: wideband, pin: B1, heater_pin: B2, scaling: { 0.5 V: 0.7, 4.5 V: 1.3 }, fault_outside: 0.2..4.8 V }
  shared: { measures: oil_temperature, kind: linear, pin: B3, scaling: { 0.5 V: 0 °C, 4.5 V: 150 °C }, fault_outside: 0.2..4.8 V }
  unplaced: { measures: coolant_temperature, kind: linear, scaling: { 0.5 V: 0 °C, 4.5 V: 150 °C }, fault_outside: 0.2..4.8 V }
  crank: ${wheel(84, 'B4')}
  second_crank: ${wheel(60, 'B5')}
outputs: { shared: { drives: light, pin: B6 } }
`,
    );
    const titles = [...page.matchAll(/<h3>(.*?)<\/h3>/g)].map(([, title]) => wordsOf(title!).trim());
    expect(titles).toEqual(expect.arrayContaining(['exhaust at pin B1', 'shared at pin B3', 'unplaced']));
    expect(wordsOf(page)).toContain('first tooth: crank 84 deg, second_crank 60 deg.');
  });

  test.each([
    ['positions: 3', ['1', '2', '3', '4', 'x', '999999999']],
    ['positions: 1000000000', ['2', '4', 'x', '999999999']],
    ['housing: H', ['2', '4', 'x', '999999999']],
  ])(
    'a connector with `%s` has the positions that it has and those that are named',
    async (keys, positions) => {
      const text = `
harness:
  connectors:
    plug: { ${keys}, wires: { 2: { circuit: supply, gauge: 20 AWG } } }
    plug.inner: { positions: 1 }
  circuits:
    one: { from: controller.A1, to: plug.4, via: [plug.999999999, plug.inner.1] }
    two: { from: controller.A2, to: devices.a.signal, via: [plug.x] }
`;
      const faces = facesOn(await paperOf('installer', text));
      const placesOn = (connector: string) =>
        faces.flatMap(({ place }) => (place.slice(0, place.lastIndexOf('.')) === connector ? place : []));
      expect(new Set(placesOn('plug'))).toEqual(new Set(positions.map((position) => `plug.${position}`)));
      expect(placesOn('plug.inner')).toEqual(['plug.inner.1']);
      const nameAt = new Map(faces.map(({ place, name }) => [place, name]));
      expect(nameAt.get('plug.999999999')).toBe('one');
      expect(nameAt.get('plug.x')).toBe('two');
    },
  );

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

test('each sensor has its own fault bounds on the page of the installer, in the words of the report', async () => {
  const sensor = (name: string, keys: string) =>
    `  ${name}: { measures: oil_temperature, kind: ratiometric, supply: 5 V, scaling: { 0.5 V: 0 °C, 4.5 V: 150 °C }${keys} }\n`;
  const text = `sensors:\n${sensor('first', ', fault_outside: 0.2..4.8 V')}${sensor('second', '')}${sensor('third', ', fault_outside: 0.1..4.9 V, substitute: 80 °C')}`;
  const page = await paperOf('installer', text);
  const report = await paperOf('reviewer', text);
  const failed = {
    first: 'Failed outside 0.2..4.8 V: no substitute value.',
    third: 'Failed outside 0.1..4.9 V: substitute value 80 °C.',
  };
  for (const [name, after] of Object.entries({ ...failed, second: undefined })) {
    for (const one of [page, report]) {
      const own = new RegExp(`<h3>${name}\\b.*?</section>`, 's').exec(one)![0];
      expect(/<p>(Failed outside.*?)<\/p>/.exec(own)?.[1]).toBe(after);
    }
  }
  expect(page.match(/Failed outside/g)).toHaveLength(2);
});

describe('what switches a light on is what the file says', () => {
  const FILE = `
outputs:
  amber: { drives: light, meaning: caution, shows: flashing }
  red: { drives: light, meaning: warning }
  fault: { drives: light, meaning: status }
  spare: { drives: light }
`;
  const LIMITS = `
protection:
  oil_hot: { watches: oil_temperature, above: { caution: 110 °C, warning: 120 °C }, action: [light] }
  overspeed: { watches: engine_speed, above: { warning: 5600 rpm }, action: [light, fuel-cut] }
  charge_hot: { watches: charge_temperature, above: { caution: 70 °C }, action: [retard] }
`;
  const sensor = (quantity: string, keys: string) =>
    `  ${quantity}: { measures: ${quantity}, kind: linear, scaling: { 0.5 V: 0 °C, 4.5 V: 150 °C }, ${keys} }\n`;
  const SENSORS = `
sensors:
${sensor('oil_temperature', 'fault_outside: 0.2..4.8 V')}${sensor('coolant_temperature', 'fault_outside: 0.1..4.9 V, substitute: 80 °C')}${sensor('charge_temperature', 'maximum: 100 °C')}`;

  test('nothing, if the file has no limit with a light and no sensor with fault bounds', async () => {
    for (const reader of ['pilot', 'reviewer']) {
      const page = await paperOf(reader, FILE);
      for (const light of ['amber', 'red', 'fault', 'spare'])
        expect(lightRow(page, light)).toMatch(/nothing in the file switches it on/i);
      expect(page).not.toMatch(/Reduce power|Keep power|substitute value/);
    }
  });

  test('limits with the action `light` that have its level', async () => {
    const page = await paperOf('pilot', FILE + LIMITS);
    expect(lightRow(page, 'amber')).toBe(
      'amber caution, flashing a value is beyond its caution limit: oil temperature Reduce power until it goes out, and watch the value.',
    );
    expect(lightRow(page, 'red')).toMatch(/: oil temperature, engine speed Reduce power at once/);
    expect(lightRow(page, 'spare')).toBe('spare no meaning stated nothing in the file switches it on');
    const report = await paperOf('reviewer', FILE + LIMITS);
    expect(lightRow(report, 'amber')).toBe(
      'amber caution, flashing comes on if Oil temperature is above 110 °C oil_hot',
    );
  });

  test.each(['caution', 'warning'])(
    'a %s of a value that is too low does not say to raise it by less power',
    async (level) => {
      const low = (keys: string) => `
outputs: { light: { drives: light, meaning: ${level} } }
protection:
  oil_low: { watches: oil_pressure, below: { ${level}: 1.5 bar gauge }, action: [light] }
${keys}`;
      const hot = `  oil_hot: { watches: oil_temperature, above: { ${level}: 110 °C }, action: [light] }\n`;
      const until = /until it goes out/;
      for (const keys of ['', hot])
        expect(lightRow(await paperOf('pilot', low(keys)), 'light')).not.toMatch(until);
      const high = await paperOf('pilot', low(hot).replace(/ {2}oil_low.*\n/, ''));
      if (level === 'caution') {
        expect(lightRow(await paperOf('pilot', low('')), 'light')).toMatch(
          /oil pressure Watch the value; land when practical\.$/,
        );
        expect(lightRow(high, 'light')).toMatch(until);
      } else expect(lightRow(high, 'light')).toContain('Reduce power at once.');
    },
  );

  test('failed sensors that have fault bounds, with or without substitute value', async () => {
    const page = await paperOf('pilot', FILE + SENSORS);
    expect(lightRow(page, 'fault')).toBe(
      'fault status a sensor fails: oil_temperature, coolant_temperature. The controller then uses its substitute value, except for oil_temperature. Keep power moderate and land when practical.',
    );
    expect(lightRow(await paperOf('reviewer', FILE + SENSORS), 'fault')).toBe(
      'fault status comes on if Signal of oil_temperature is outside 0.2..4.8 V Signal of coolant_temperature is outside 0.1..4.9 V',
    );
    const none = await paperOf('pilot', FILE + SENSORS.replace(', substitute: 80 °C', ''));
    expect(lightRow(none, 'fault')).toContain('The file states no substitute value.');
  });

  test('limits that only a map set has, changes or removes', async () => {
    const sets = `
map_sets:
  sets:
    ferry: { when: open, apply: { protection: { charge_hot: { action: [light] }, overspeed: { above: { warning: 5700 rpm } } } } }
    tow: { when: closed, remove: [protection.oil_hot] }
`;
    const page = await paperOf('pilot', FILE + LIMITS + sets);
    expect(lightRow(page, 'amber')).toContain('oil temperature, charge temperature in map set ferry');
    const limits = [...wordsOf(page.slice(page.indexOf('<h2>Limits'))).matchAll(/Engine speed above.*?cut/g)];
    expect(limits.map(([row]) => row)).toEqual([
      'Engine speed above – 5600 rpm fuel-cut',
      'Engine speed above in map set ferry – 5700 rpm fuel-cut',
    ]);
    expect(wordsOf(page)).toContain('Oil temperature above in map set tow removed removed removed');
    const report = wordsOf(await paperOf('reviewer', FILE + LIMITS + sets));
    for (const set of ['ferry', 'tow']) expect(report).toContain(`Map set ${set} changes limits`);
  });

  test.each([
    ['[0.8, 1.6, 2.4]', '0.8 to 2.4'],
    ['[2.4, 1.6, 0.8]', '2.4 to 0.8'],
    ['[1.6, 0.8, 2.4]', '0.8 to 2.4'],
    ['[1.2, 2.4, 1.2]', '1.2 to 2.4'],
  ])('a limit along the curve %s is named by the range that it covers', async (values, range) => {
    const curve = `{ x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 5000] }, unit: bar gauge, values: ${values} }`;
    const page = await paperOf(
      'pilot',
      `protection: { oil_low: { watches: oil_pressure, below: { warning: ${curve} }, action: [light] } }\n`,
    );
    expect(wordsOf(page)).toContain(`Oil pressure below – ${range} bar gauge over engine speed none`);
  });

  test.each(['dotterel/dotterel-16t', 'sanderling/sanderling-10t', 'wheatear/wheatear-10'])(
    'in samples/%s every light is explained',
    async (name) => {
      const file = `${SAMPLES}${name}.engine.yaml`;
      const lights = readFileSync(file, 'utf8').match(/^ {2}\w+(?=: \{ drives: light)/gm)!;
      const page = await paper('pilot', { folder: '', file });
      for (const light of lights) expect(lightRow(page, light.trim())).toMatch(/: (?:\w+ ?)+, /);
    },
  );
});

test('every document says that it is generated and advisory, under the same head', async () => {
  const { folder, file } = workshop();
  const pages = await Promise.all(
    ['reviewer', 'installer', 'pilot'].map((one) => paper(one, { folder, file })),
  );
  const heads = pages.map((page) => /<p class="head">.*<\/p>/.exec(page)![0]);
  expect(new Set(heads).size).toBe(1);
  for (const page of pages) {
    expect(page.match(/This document is generated from the configuration and is advisory\./g)).toHaveLength(
      1,
    );
    expect(page).not.toMatch(/\blamps?\b|\bTold by\b/i);
  }
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

test('the paper of the pilot has no table of failures where no fault is known', async () => {
  const analysis = engineAnalysis(workshop().file, 'report');
  const source = {
    name: 'a',
    analysis,
    revision: revisionOf(analysis.files),
    fileName: (path: string) => path,
  };
  const dossier = { ...source, groups: [], envelope: undefined, bounds: [] };
  const faults = faultTable(analysis.subject as EngineSubject);
  expect(pilotPaper({ ...dossier, faults: [] })).not.toContain('<h2>Failures');
  expect(pilotPaper({ ...dossier, faults })).toContain('<h2>Failures');
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
