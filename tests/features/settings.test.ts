import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import manifest from '../../package.json';
import { hoverAt } from '../../server/features/hover.ts';
import { inlayHintsIn } from '../../server/features/inlay-hints.ts';
import { preferred } from '../../server/preferred-units.ts';
import { readSettings } from '../../server/settings.ts';
import { splitUnit } from '../../shared/quantity/index.ts';
import { analysed, editor, marked, OVERLAY, wholeText } from './marked.ts';

const { properties } = manifest.contributes.configuration;
const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
const complete = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');

const hintTexts = (settings: unknown): string[] =>
  inlayHintsIn(
    analysed(complete, 'complete.engine.yaml'),
    { range: wholeText },
    { ...editor, settings: readSettings(settings) },
  ).map(({ label }) => (typeof label === 'string' ? label : label.map(({ value }) => value).join('')));

describe('settings', () => {
  test('have the defaults that the editor shows', () => {
    const settings = readSettings(undefined);
    expect(settings.inlayHints.enabled).toBe(properties['enginewright.inlayHints.enabled'].default);
    expect(settings.inlayHints.density).toBe(properties['enginewright.inlayHints.density'].default);
    expect(settings.codeLenses.enabled).toBe(properties['enginewright.codeLenses.enabled'].default);
    expect(settings.units.size).toBe(properties['enginewright.units'].default.length);
    expect(settings.severities.size).toBe(0);
  });

  test('are each explained in the README, with the default in bold', () => {
    for (const [name, { default: standard }] of Object.entries(properties)) {
      const shown = typeof standard === 'string' ? standard : JSON.stringify(standard);
      expect(readme, name).toContain(`| \`${name}\` | `);
      const row = readme.split('\n').find((line) => line.startsWith(`| \`${name}\``));
      expect(row, name).toContain(`**${shown}**`);
    }
  });

  test.each([
    null,
    3,
    'x',
    [],
    { inlayHints: null },
    { units: 'psi', severities: [1] },
    { units: [1, 'parsec'] },
  ])('take %j for nothing', (sent) => {
    expect(readSettings(sent)).toEqual(readSettings(undefined));
  });

  test('turn no finding off: there are four severities and no other', () => {
    const { severities } = readSettings({ severities: { a: 'hint', b: 'off', c: 0, d: 'error' } });
    expect([...severities]).toEqual([
      ['a', 'hint'],
      ['d', 'error'],
    ]);
  });
});

describe('units', () => {
  test('that the editor offers are units, of dimensions that one unit serves', () => {
    for (const text of properties['enginewright.units'].items.enum) {
      const unit = splitUnit(text)?.unit;
      expect([...readSettings({ units: [text] }).units]).toEqual([[unit!.dimension, unit]]);
    }
  });

  const units = (...texts: string[]) => readSettings({ units: texts }).units;

  test('take the place of others of their dimension and keep the pressure reference', () => {
    expect(preferred({ canonical: 1, show: 'kPa abs' }, units('psi')).show).toBe('psi abs');
    expect(preferred({ canonical: 1, show: 'bar' }, units('psi', 'inHg')).show).toBe('inHg');
    expect(preferred({ canonical: 1, show: '°C' }, units('°F')).show).toBe('°F');
    expect(preferred({ canonical: 1, show: 'rpm' }, units('°F')).show).toBe('rpm');
  });

  test('leave a number of kelvin alone, which may be a difference', () => {
    expect(preferred({ canonical: 15, show: 'K' }, units('°F')).show).toBe('K');
  });

  test('leave lengths alone: a reader of inches wants altitude in feet', () => {
    expect(units('in').size).toBe(0);
  });

  test('are those of hints and of derived values in hovers', () => {
    expect(hintTexts({}).join()).toMatch(/kPa abs/);
    const inPsi = hintTexts({ units: ['psi', 'hp'] }).join();
    expect(inPsi).toMatch(/[\d.]+ psi abs · duty [\d.]+ % · [\d.]+ hp/);
    expect(inPsi).not.toMatch(/kPa abs|kW/);
    const point = '{ speed: 5600 rpm, throttle: 100 %, pressure_altitude: 0 ft }';
    const { analysis, position } = marked(`${OVERLAY}operating_points:\n  cl$0imb: ${point}\n`);
    const page = JSON.stringify(hoverAt(analysis, { position }, units('psi')));
    // 101.325 kPa / 6.894757 kPa per psi (NIST SP 811) = 14.696 psi
    expect(page.replaceAll('\u00a0', ' ')).toContain('ambient pressure 14.7 psi abs');
  });

  test('are those of the numbers put into a formula, and come first of what else a written value is', () => {
    const said = (section: string, wanted: ReturnType<typeof units>) => {
      const { analysis, position } = marked(`${OVERLAY}${section}`);
      return JSON.stringify(hoverAt(analysis, { position }, wanted)).replaceAll('\u00a0', ' ');
    };
    const cell = said(
      `fuel:
  volumetric_efficiency:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 180] }
    unit: "%"
    values: [[48, 57], [76, 8$09]]
`,
      units('psi'),
    );
    // 180 kPa / 6.894757 kPa per psi (NIST SP 811) = 26.11 psi; the map itself keeps its unit.
    expect(cell).toContain('`89 % · 26.11 psi abs · 304.8 cm3');
    expect(cell).toContain('manifold pressure `180 kPa abs`');
    expect(said('boost: { overboost_cut: 1$060 kPa abs }\n', units('inHg'))).toMatch(
      /`160 kPa abs`\s*\S*= `47\.25 inHg abs` · /,
    );
  });
});

test('few hints are those of points and of what can stop the engine', () => {
  const [all, few] = [hintTexts({}), hintTexts({ inlayHints: { density: 'few' } })];
  expect(few.length).toBeLessThan(all.length);
  expect(few.some((text) => text.includes('critical altitude'))).toBe(true);
  expect(few.filter((text) => text.includes('duty') && text.includes('kW')).length).toBe(2);
  expect(few.some((text) => text.includes('per tooth'))).toBe(false);
});
