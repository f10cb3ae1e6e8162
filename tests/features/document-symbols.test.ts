import { describe, expect, test } from 'vitest';
import type { DocumentSymbol } from 'vscode-languageserver/node';
import { symbolsOf } from '../../server/features/document-symbols.ts';
import { analysed } from './marked.ts';

/** Symbols as an outline: name, detail and lines. */
function outline(symbols: readonly DocumentSymbol[], indent = ''): string[] {
  return symbols.flatMap(({ name, detail, range, children }) => [
    `${indent}${`${name} ${detail ?? ''}`.trim()} (${range.start.line + 1}-${range.end.line + 1})`,
    ...outline(children ?? [], `${indent}  `),
  ]);
}

describe('symbols', () => {
  test('are sections, the things named in them, and tables with their size', () => {
    const text = `title: Invented engine
fuel:
  rail:
    pressure: 3 bar
  injectors:
    dead_time:
      x: { quantity: battery_voltage, unit: V, breakpoints: [8, 12, 14] }
      unit: ms
      values: [2.1, 1.2, 0.9]
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 100] }
    values:
      - [1.00, 1.00, 0.98]
      - [0.95, 0.93, 0.90]
sensors:
  oil: { measures: oil_pressure, kind: linear, scaling: { 0.5 V: 0 bar gauge, 4.5 V: 10 bar gauge } }
operating_points:
  cruise: { speed: 4600 rpm, throttle: 70 %, pressure_altitude: 8000 ft }
`;
    expect(outline(symbolsOf(analysed(text)))).toEqual([
      'fuel (2-15)',
      '  rail (3-4)',
      '  injectors (5-9)',
      '    dead_time 3 breakpoints, ms (6-9)',
      '  target_lambda 3 × 2 (10-15)',
      'sensors (16-17)',
      '  oil oil_pressure · linear (17-17)',
      '    scaling (17-17)',
      'operating_points (18-19)',
      '  cruise 4600 rpm · 70 % (19-19)',
    ]);
  });

  test('of a section so long that it is read in pieces reach to its end', () => {
    const sensors = Array.from({ length: 40 }, (_, i) => `  s${i}: { measures: lambda, kind: wideband }`);
    const [section] = symbolsOf(analysed(`sensors:\n${sensors.join('\n')}\n`));
    expect(section).toMatchObject({ name: 'sensors', range: { end: { line: 40 } } });
    expect(section!.children).toHaveLength(40);
  });

  test('contain their selection, and have a name, however broken the text', () => {
    const check = (symbols: readonly DocumentSymbol[]): void => {
      for (const { name, range, selectionRange, children } of symbols) {
        expect(name).not.toBe('');
        expect(selectionRange.start.line).toBeGreaterThanOrEqual(range.start.line);
        expect(selectionRange.end.line).toBeLessThanOrEqual(range.end.line);
        check(children ?? []);
      }
    };
    for (const text of [
      '? : {',
      'fuel: &a { rail: { pressure: 3 bar } }\nboost: *a\n',
      'fuel:\n  : {a: {}}\n  rail: {',
    ]) {
      check(symbolsOf(analysed(text)));
    }
    expect.hasAssertions();
  });
});
