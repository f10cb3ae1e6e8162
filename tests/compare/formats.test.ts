import { describe, expect, test } from 'vitest';
import { displayWidth } from '../../server/formats/layout.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { complete, edited } from './pair.ts';
import { CONTROLLER, twoStates } from './states.ts';

describe('formats', () => {
  const noisy = edited(complete, [
    ['title: Plover 1200T demonstration engine', 'title: "<script>alert(1)</script> | `x` <!-- & *b*"'],
    ['static_flow: 340 cc/min', 'static_flow: 120 cc/min'],
    ['[71, 81, 86, 83]', '[71, 84, 86, 82]'],
    ['values: [32, 14, 7]', 'values: [36, 14, 7]'],
  ]);

  test('text stays in the columns of the terminal and ends with the verdict', async () => {
    const { out } = await enginewright('compare', ...twoStates(complete, noisy));
    for (const line of out.split('\n').slice(1)) expect(displayWidth(line)).toBeLessThanOrEqual(100);
    expect(out).toMatch(/2 files compared: \d+ new errors?/);
    expect(out).toContain('points \\ rpm');
  });

  test('Markdown begins with the verdict, then the changes, then what follows from them', async () => {
    const { out } = await enginewright('compare', ...twoStates(complete, noisy), '--format', 'markdown');
    expect(out).toMatch(/^⛔ \*\*\d+ new error/);
    expect(out.indexOf('Fuel › Injectors › Static flow')).toBeLessThan(out.indexOf('| Derived value |'));
    expect(out).not.toContain('<script>');
    const rows = out.split('\n').filter((line) => line.startsWith('|'));
    expect(rows.length).toBeGreaterThan(10);
    const columns = (row: string) => row.match(/(?<!\\)\|/g)!.length;
    for (const [i, row] of rows.entries())
      if (row.startsWith('|---')) expect(columns(row)).toBe(columns(rows[i - 1]!));
    expect(out.match(/<details>/g)!.length).toBe(out.match(/<\/details>/g)!.length);
  });

  test('Markdown has room in a comment whatever the change', async () => {
    const files = (text: string) =>
      Object.fromEntries(
        Array.from({ length: 20 }, (_, i) => [`engine-${i}-${'x'.repeat(40)}.engine.yaml`, text]),
      );
    const [a, b] = [
      folderOf({ ...CONTROLLER, ...files(complete) }),
      folderOf({ ...CONTROLLER, ...files(noisy) }),
    ];
    const { out } = await enginewright('compare', a, b, '--format', 'markdown', '--time', '0');
    expect(out.length).toBeGreaterThan(40_000);
    expect(out.length).toBeLessThan(60_000);
    expect(out).toMatch(/\d+ more changed files did not fit into this comment\./);
    expect(out.match(/<details>/g)!.length).toBe(out.match(/<\/details>/g)!.length);
  });

  const sensors = (name: string) =>
    Array.from(
      { length: 400 },
      (_, i) => `  ${name}_${i}: { measures: egt_${i}, kind: thermocouple, pin: B${i} }\n`,
    );
  test.each([
    ['a title without end', [['title: Plover', `title: ${'|<b>`'.repeat(100_000)} Plover`]]],
    ['hundreds of new things', [['sensors:\n', `sensors:\n${sensors('new').join('')}`]]],
    ['a text that is no configuration', [[complete, '|`*<'.repeat(50_000)]]],
    ['a text that is gone', [[complete, '']]],
    ['a map of thousands of cells', [['[71, 81, 86, 83]', `[${'71, '.repeat(20_000)}83]`]]],
  ] as const)(
    'Markdown has room in a comment for %s',
    async (_, replacements) => {
      const states = twoStates(complete, edited(complete, replacements));
      for (const pair of [states, [...states].reverse()]) {
        const { status, out } = await enginewright('compare', ...pair, '--format', 'markdown');
        expect(status).not.toBe(2);
        expect(out.length).toBeLessThan(60_000);
        expect(out).toMatch(/^[⛔▫⚠]/u);
        expect((out.match(/<details>/g) ?? []).length).toBe((out.match(/<\/details>/g) ?? []).length);
      }
    },
    60_000,
  );

  test('HTML is one page that loads nothing and runs nothing, with each map and curve drawn', async () => {
    const { out } = await enginewright('compare', ...twoStates(complete, noisy), '--format', 'html');
    expect(out).toMatch(/^<!doctype html>/);
    expect(out).not.toMatch(/<script|<link|<img|src=|href="(?!#)|url\(|@import| on\w+=/i);
    expect(out).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    // Two cells of the map changed, by 3 and by −1 points; the larger change has the darkest shade.
    expect(out).toContain('class="up4" title="3000 rpm, 100 kPa abs: 81 → 84 %">+3<small>84</small>');
    expect(out).toContain('class="down2" title="6000 rpm, 100 kPa abs: 83 → 82 %">−1<small>82</small>');
    expect(out.match(/<svg class="curve"/g)).toHaveLength(1);
    const opened = [...out.matchAll(/<(section|table|tbody|tr|td|th|ul|li|p|div|details|svg)[\s>]/g)].length;
    const closed = [...out.matchAll(/<\/(section|table|tbody|tr|td|th|ul|li|p|div|details|svg)>/g)].length;
    expect(opened).toBe(closed);
  });

  test('each says so where nothing changed', async () => {
    const states = twoStates(complete, complete);
    for (const format of ['text', 'markdown', 'html']) {
      const { status, out } = await enginewright('compare', ...states, '--format', format);
      expect(status).toBe(0);
      expect(out).toMatch(/nothing changed in the engine/i);
    }
  });
});
