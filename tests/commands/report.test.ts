import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { levelsOf } from '../../server/formats/report-html/grid.ts';
import {
  colourOf,
  contrast,
  darkCells,
  LEVELS,
  lightCells,
} from '../../server/formats/report-html/palette.ts';
import { html } from '../../server/html.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

function workshop(engine = completeEngine) {
  const folder = folderOf({ 'a.engine.yaml': engine, 'complete.controller.yaml': completeController });
  return { folder, engineFile: join(folder, 'a.engine.yaml') };
}

async function reportOf(engine?: string): Promise<string> {
  const { status, out, err } = await enginewright('report', workshop(engine).engineFile);
  expect({ status, err }).toEqual({ status: 0, err: '' });
  return out;
}

/** The visible text of the page, without markup and with single spaces between words. */
function wordsOf(page: string): string {
  const text = page.replace(/<style>[\s\S]*?<\/style>/, '').replace(/<[^>]*>/g, ' ');
  const marks: Record<string, string> = {
    '&lt;': '<',
    '&gt;': '>',
    '&amp;': '&',
    '&quot;': '"',
    '&#39;': "'",
  };
  return text.replace(/&[a-z#0-9]+;/g, (mark) => marks[mark]!).replace(/\s+/g, ' ');
}

const dotterel = 'samples/dotterel/dotterel-16t.engine.yaml';

describe('the dossier of a sample', () => {
  let page: string;
  beforeAll(async () => {
    page = (await enginewright('report', dotterel)).out;
  });

  test('has every chapter, and each line of its contents leads to one', () => {
    const contents = [...page.matchAll(/<li><a href="#([^"]+)">([^<]+)<\/a><\/li>/g)];
    expect(contents.map(([, id]) => id)).toEqual([
      ...[
        'findings',
        'points',
        'bounds',
        'limits',
        'faults',
        'engine',
        'map-sets',
        'tables',
        'pins',
        'standby',
        'wires',
        'sensors',
      ],
      ...['bus', 'working', 'revision'],
    ]);
    for (const [, id, title] of contents) expect(page).toContain(`<section id="${id}">\n<h2>${title}</h2>`);
  });

  test('has each limit with its bound, the verdict of `prove` and the state', async () => {
    const chapter = /<section id="bounds">[\s\S]*?<\/section>/.exec(page)![0];
    const rows = [...chapter.matchAll(/<tr><td>[\s\S]*?<\/tr>/g)].map(([row]) => wordsOf(row));
    const { out } = await enginewright('prove', dotterel, '--format', 'json');
    const { bounds } = (JSON.parse(out) as { files: [{ bounds: { verdict: string | null }[] }] }).files[0];
    const held = bounds.filter(({ verdict }) => verdict === 'holds').length;
    expect(held).toBeGreaterThan(100);
    expect(wordsOf(chapter)).toContain(`${held} `);
    expect(rows.some((row) => row.includes(' holds '))).toBe(true);
    for (const row of rows) expect(row).toMatch(/[≤≥] .* (?:holds|broken|open) \S/);
    expect(wordsOf(chapter)).toMatch(/speed [\d.]+ to [\d.]+ rpm/);
  });

  test('shows broken limits as `prove` counts them, each with a state beyond it', async () => {
    const weak = completeEngine.replace('static_flow: 340 cc/min', 'static_flow: 220 cc/min');
    expect(weak).not.toBe(completeEngine);
    const chapter = /<section id="bounds">[\s\S]*?<\/section>/.exec(await reportOf(weak))![0];
    const { out } = await enginewright('prove', workshop(weak).engineFile, '--format', 'json');
    const { bounds } = (JSON.parse(out) as { files: [{ bounds: { verdict: string | null }[] }] }).files[0];
    const count = bounds.filter(({ verdict }) => verdict === 'broken').length;
    expect(count).toBeGreaterThan(0);
    expect(wordsOf(chapter)).toContain(`· ${count} broken`);
    const rows = [...chapter.matchAll(/<tr><td>[\s\S]*?<\/tr>/g)].map(([row]) => wordsOf(row));
    const broken = rows.filter((row) => row.includes(' broken '));
    expect(broken.length).toBeGreaterThan(0);
    for (const row of broken) expect(row).toMatch(/\) −[\d.]+.* broken \d+ rpm, .* kPa abs/);
    for (const row of rows) if (!broken.includes(row)) expect(row).toMatch(/\) [\d.]+ (?:\S+ )?holds /);
  });

  test('has no address within the page that leads nowhere', () => {
    const ids = new Set([...page.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id));
    const missing = [...page.matchAll(/href="#([^"]+)"/g)].filter(([, id]) => !ids.has(id!));
    expect(missing.map(([, id]) => id)).toEqual([]);
  });

  test('opens its elements and closes them again, in order', () => {
    const empty = new Set(['meta', 'path', 'circle', '!doctype']);
    const open: string[] = [];
    for (const [, end, name, last] of page.matchAll(/<(\/?)([a-z!][a-z0-9]*)[^>]*?(\/?)>/gi)) {
      if (end) expect(open.pop()).toBe(name);
      else if (!last && !empty.has(name!)) open.push(name!);
    }
    expect(open).toEqual([]);
  });

  test('shows the same values as `derive`, with formula, numbers and source', async () => {
    const words = wordsOf(page);
    const { out } = await enginewright('derive', dotterel, '--point', 'take_off', '--format', 'json');
    const { values } = JSON.parse(out) as {
      values: { label: string; formula: string; substituted: string }[];
    };
    expect(values.length).toBeGreaterThan(20);
    for (const { label, formula, substituted } of values) {
      expect(words).toContain(label);
      expect(words).toContain(`${formula} = ${substituted}`.replace(/\s+/g, ' '));
    }
  });

  test.each([
    ['pin plan', 'C9 wastegate servo-driver maximum current 5 A'],
    ['pin plan, of what serves something else', 'B11 the heater of lambda lambda-heater'],
    [
      'wire list',
      /engine_supply supply splices\.engine_supply 16 AWG 1\.4 m 6 A 10 A 10(\.0)? A 22\.\d+ mohm 0\.132\d* V/,
    ],
    ['sensor', 'Failed outside 0.2..4.8 V: substitute value 3.0 bar.'],
    [
      'point of a curve that an error is of',
      /Error of the Steinhart–Hart curve at this point, -20 °C -0\.0012?\d K/,
    ],
    ['bus', 'fuel_flow 48 16 little unsigned 0.01 L/h 0 0..100 L/h'],
    ['bus, message', '11-bit identifier 0x310 , 8 byte, every 50 ms'.replace(' ,', ',')],
    ['limit', 'overspeed Engine speed above 5600 rpm 5850 rpm 100 rpm none light, fuel-cut'],
    [
      'light',
      'warning_light warning comes on if Oil pressure is below 0.8 to 2.4 bar gauge over engine speed',
    ],
    ['operating point', 'Pressure altitude 0 ft 3000 ft 0 ft 6000 ft 12000 ft'],
    ['map set', 'transit Active with the switch closed. '],
    ['what a table means', 'Target mixture as lambda: 1 is stoichiometric, below 1 is rich.'],
    ['caution', 'Run a new configuration first on a restrained engine'],
  ])('has the %s', (_, words) => {
    if (typeof words === 'string') expect(wordsOf(page)).toContain(words);
    else expect(wordsOf(page)).toMatch(words);
  });

  test('draws each map with a cell a value, the highest pressure on top', () => {
    const [, grid = ''] =
      /<code>ignition\.advance<\/code>[\s\S]*?<table class="map">([\s\S]*?)<\/table>/.exec(page) ?? [];
    expect([...grid.matchAll(/<td class="c\d+">/g)]).toHaveLength(12 * 13);
    const rows = [...grid.matchAll(/<th scope="row">(\d+)<\/th>/g)].map(([, pressure]) => Number(pressure));
    expect(rows).toEqual([180, 160, 145, 130, 115, 100, 85, 70, 55, 45, 35, 25]);
    expect(grid).toMatch(/<th scope="row">180<\/th><td class="c0">-4\.0<\/td>/);
    expect(grid).toMatch(new RegExp(`<td class="c${LEVELS - 1}">34\\.5</td>`));
  });

  test('draws curves, and caution and warning in one picture', () => {
    expect([...page.matchAll(/<figure>/g)].length).toBeGreaterThan(5);
    expect(page).toMatch(/aria-label="oil_pressure_low">[\s\S]*?class="line l0"[\s\S]*?class="line l1"/);
  });

  test('draws what a map set puts in place of a table', () => {
    expect(page).toMatch(/<h3>Target lambda in map set <q>transit<\/q>/);
  });

  test('says where a map set changes limits', async () => {
    const apply = '{ protection: { overspeed: { above: { warning: 5700 rpm } } } }';
    const set = `map_sets: { sets: { ferry: { when: open, apply: ${apply} } } }`;
    const words = wordsOf(
      await reportOf(`enginefile: 1\nengine: {}\n${set}\noutputs: { l: { drives: light } }\n`),
    );
    expect(words).toContain('Map set ferry changes limits');
  });

  test('lists each source with its note', () => {
    const list = wordsOf(page.slice(page.indexOf('<dl class="sources">')));
    expect(list).toContain('sae-j1832 SAE J1832: Low Pressure Gasoline Fuel Injector (2001)');
    expect(list).toContain('[from memory: only its list of terms was read');
  });

  test('is the same each time', async () => {
    expect((await enginewright('report', dotterel)).out).toBe(page);
  });
});

describe('the page is strict', () => {
  test('it loads and runs nothing, and its only style is the one that the policy names', async () => {
    const page = await reportOf();
    const [, policy] = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(page) ?? [];
    const [, style] = /<style>([\s\S]*?)<\/style>/.exec(page) ?? [];
    const hash = createHash('sha256').update(style!).digest('base64');
    expect(policy?.replaceAll('&#39;', "'")).toBe(
      `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`,
    );
    expect(page).not.toMatch(
      /<(script|link|img|iframe|object|embed|base|form)\b|\sstyle=|\son\w+=|url\(|@import/i,
    );
    expect([...page.matchAll(/(?:href|src)="(?!#)[^"]*"/g)]).toEqual([]);
  });

  test('no text of a file becomes a mark', async () => {
    const odd = '<script>alert(1)</script>\\"\'&amp;';
    const engine = completeEngine
      .replace(/^title: .*$/m, `title: "${odd}"`)
      .replace(/^ {2}take_off:/m, `  "${odd}":`)
      .concat(`\nx: 1 # accept unknown-key: ${odd}\n`);
    const page = await reportOf(engine);
    expect(page).not.toMatch(/<script/i);
    expect(page).toContain('<title>&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp;amp;</title>');
    expect(page).toContain('<th scope="col">&lt;script&gt;');
  });

  test('a template escapes all that is not a template', () => {
    const inner = html`<b>${'<&>"\''}</b>`;
    expect(html`<p title="${'"x"'}">${[inner, undefined, 1]}\u202e${'\u202e\u0000\ud800'}</p>`.text).toBe(
      '<p title="&quot;x&quot;"><b>&lt;&amp;&gt;&quot;&#39;</b>1\u202e\ufffd\ufffd\ufffd</p>',
    );
  });
});

describe('what is not whole is shown as far as it is', () => {
  test('a broken file gives a page with its findings', async () => {
    const page = await reportOf('enginefile: 1\nengine: { bore: 76 mm\n');
    expect(wordsOf(page)).toMatch(/ \d+ errors; 0 findings accepted/);
    expect(page).toContain('syntax-error');
  });

  test('a map with a row too short is shown without colours', async () => {
    const engine = `enginefile: 1
fuel:
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 2000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 60] }
    values: [[1.0, 0.9], [0.8]]
`;
    const page = await reportOf(engine);
    expect(page).toContain('<tr><th scope="row">60</th><td>0.8</td></tr>');
    expect(page).not.toMatch(/<td class="c\d/);
  });

  test('a table with a number that no engine has is shown without colours and lines', async () => {
    const engine = `enginefile: 1
fuel:
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 2000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 60] }
    values: [[1.0, 1e999], [0.8, 0.7]]
  warm_up_enrichment:
    x: { quantity: coolant_temperature, unit: °C, breakpoints: [-20, 60] }
    unit: "%"
    values: [1e999, 100]
`;
    const page = await reportOf(engine);
    expect(page).toContain('<td>1e999</td>');
    expect(page).not.toMatch(/NaN|Infinity|<td class="c\d/);
  });

  test.each(Array.from({ length: 12 }, (_, i) => Math.round((completeEngine.length * (i + 1)) / 13)))(
    'a text that ends at character %d gives a page without a hole in it',
    async (end) => {
      const page = await reportOf(completeEngine.slice(0, end));
      expect(page).not.toMatch(/undefined|NaN|\[object /);
    },
  );

  test('accepted findings and changed thresholds come with their reasons', async () => {
    const reason = '# accept pump-margin: second pump, card 14';
    const engine = completeEngine.replace('    pump_flow: 110', `    ${reason}\n    pump_flow: 35`);
    const words = wordsOf(await reportOf(engine));
    expect(words).toContain('Accepted: second pump, card 14');
    expect(words).toContain(
      'injector-duty-high maximum: 88 %; default 85 % The demonstration injector holds its flow up to 90 %.',
    );
  });
});

describe('the source revision', () => {
  const git = (folder: string, ...args: string[]) =>
    execFileSync('git', ['-c', 'user.name=a', '-c', 'user.email=a@b', ...args], {
      cwd: folder,
      encoding: 'utf8',
    });

  test('is the commit, and names what is not as committed', async () => {
    const { folder, engineFile } = workshop();
    git(folder, 'init', '-q');
    git(folder, 'add', '.');
    git(folder, 'commit', '-qm', 'first');
    const id = git(folder, 'rev-parse', 'HEAD').trim();
    const committed = wordsOf((await enginewright('report', engineFile)).out);
    expect(committed).toMatch(new RegExp(`Commit ${id} , \\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\dZ`));
    expect(committed.match(/\.yaml committed/g)).toHaveLength(2);
    expect(committed).not.toContain('changed since the commit');
    writeFileSync(engineFile, `${completeEngine}# changed\n`);
    const changed = wordsOf((await enginewright('report', engineFile)).out);
    expect(changed).toContain(`commit ${id.slice(0, 12)} with uncommitted changes`);
    expect(changed).toMatch(/a\.engine\.yaml changed since the commit/);
  });

  test('takes line ends that were changed on the way out for no change', async () => {
    const { folder, engineFile } = workshop();
    git(folder, 'init', '-q');
    git(folder, 'add', '.');
    git(folder, 'commit', '-qm', 'first');
    writeFileSync(engineFile, completeEngine.replaceAll('\n', '\r\n'));
    expect((await enginewright('report', engineFile)).out).not.toContain('changed since the commit');
  });

  test('is the hash of each text outside of version control', async () => {
    const { engineFile } = workshop();
    const words = wordsOf((await enginewright('report', engineFile)).out);
    const hash = (text: string) => createHash('sha256').update(text).digest('hex');
    expect(words).toContain(`not under version control, SHA-256 ${hash(completeEngine).slice(0, 12)}`);
    expect(words).toContain(hash(completeEngine));
    expect(words).toContain(hash(completeController));
  });
});

describe('the page is written', () => {
  test('to a file where one is named, and nothing else is left there', async () => {
    const { folder, engineFile } = workshop();
    const output = join(folder, 'dossier.html');
    writeFileSync(output, 'an older one');
    expect(await enginewright('report', engineFile, '--output', output)).toEqual({
      status: 0,
      out: '',
      err: '',
    });
    expect(readFileSync(output, 'utf8')).toBe((await enginewright('report', engineFile)).out);
    expect(readdirSync(folder)).toEqual(['a.engine.yaml', 'complete.controller.yaml', 'dossier.html']);
  });

  test('nowhere where it cannot be, and the reason is given', async () => {
    const { folder, engineFile } = workshop();
    mkdirSync(join(folder, 'taken'));
    const taken = await enginewright('report', engineFile, '--output', join(folder, 'taken'));
    expect(taken).toMatchObject({
      status: 2,
      err: expect.stringContaining('taken: it is a folder'),
    });
    const nowhere = join(folder, 'no', 'such', 'x.html');
    const missing = await enginewright('report', engineFile, '--output', nowhere);
    expect(missing).toMatchObject({ status: 2, err: expect.stringContaining('no such file or folder') });
    expect(existsSync(nowhere)).toBe(false);
  });

  test('not of a controller file, of two files or of none', async () => {
    const { folder, engineFile } = workshop();
    const controller = join(folder, 'complete.controller.yaml');
    expect(await enginewright('report', controller)).toMatchObject({ status: 2, out: '' });
    expect(await enginewright('report', engineFile, engineFile)).toMatchObject({ status: 2, out: '' });
    expect(await enginewright('report')).toMatchObject({ status: 2, out: '' });
  });
});

describe('the colours of a map', () => {
  const scales = [
    ['light', lightCells, 1],
    ['dark', darkCells, -1],
  ] as const;

  test.each(scales)('on a %s ground carry their numbers readably', (_, cells) => {
    // WCAG 2.1, success criterion 1.4.3 (level AA): 4.5 for text.
    for (const { ground, ink } of cells) {
      expect(contrast(colourOf(ground), colourOf(ink)), ground).toBeGreaterThanOrEqual(4.5);
    }
  });

  test.each(scales)(
    'on a %s ground run one way from light to dark, so hue tells nothing',
    (_, cells, way) => {
      const white = [255, 255, 255] as const;
      const steps = cells.map(({ ground }) => contrast(white, colourOf(ground)) * way);
      for (let i = 1; i < steps.length; i++) expect(steps[i]).toBeGreaterThan(steps[i - 1]!);
    },
  );

  test('spread from the lowest value to the highest; a flat map is in the middle', () => {
    expect(levelsOf(Float64Array.of(-4, 15, 34))).toEqual([0, 6, LEVELS - 1]);
    expect(levelsOf(Float64Array.of(3, 3))).toEqual([6, 6]);
  });

  test('a white ground against black is as contrasting as can be', () => {
    // WCAG 2.1, definition of contrast ratio
    expect(contrast([255, 255, 255], [0, 0, 0])).toBeCloseTo(21, 10);
  });
});
