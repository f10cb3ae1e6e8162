import { describe, expect, test } from 'vitest';
import { semanticTokens, tokensIn, tokensOf } from '../../server/features/semantic-tokens.ts';
import { offsetsOf } from '../../shared/source/source-file.ts';
import { analysed } from './marked.ts';

/** Each word with its type: `76:number`; `+` marks a declaration. */
function words(text: string, name?: string): string[] {
  const analysis = analysed(text, name);
  return tokensIn(analysis).map(({ span, type, declares }) => {
    const { start, end } = offsetsOf(analysis.file, span);
    return `${declares ? '+' : ''}${analysis.file.text.slice(start, end)}:${type}`;
  });
}

describe('semantic tokens', () => {
  test('tell number, unit and pressure reference apart', () => {
    expect(words('boost: { overboost_cut: 170 kPa abs }\nengine: { bore: 84mm }\n')).toEqual([
      '170:number',
      'kPa:unit',
      'abs:reference',
      '84:number',
      'mm:unit',
    ]);
  });

  test.each([
    ['ignition: { advance_range: -10..38.5 deg }\n', ['-10:number', '38.5:number', 'deg:unit']],
    ['sensors: { w: { range: 0.65..1.30 } }\n', ['+w:name', '0.65:number', '1.30:number']],
    ['engine: { reduction_ratio: 2.4 }\n', ['2.4:number']],
    ['fuel: { rail: { pressure: 1.2e-3 bar } }\n', ['1.2e-3:number', 'bar:unit']],
  ])('read %j', (text, expected) => {
    expect(words(text)).toEqual(expected);
  });

  test('stand in tables, at the unit of the whole and within quotes', () => {
    const text =
      'fuel:\n  warm_up_enrichment:\n    x: { quantity: coolant_temperature, unit: °C, breakpoints: [0] }\n';
    expect(words(`${text}    unit: "%"\n    values: [120]\n`)).toEqual([
      'coolant_temperature:quantity',
      '°C:unit',
      '0:number',
      '%:unit',
      '120:number',
    ]);
  });

  test('stand on both sides of a relation', () => {
    expect(words('sensors: { oil: { scaling: { 0.5 V: 0 bar gauge } } }\n')).toEqual([
      '+oil:name',
      '0.5:number',
      'V:unit',
      '0:number',
      'bar:unit',
      'gauge:reference',
    ]);
  });

  test('tell where a name is given and where it is used', () => {
    expect(
      words('sensors: { w: { measures: lambda, pin: A1 } }\nclosed_loop: { lambda: { sensor: w } }\n'),
    ).toEqual(['+w:name', 'lambda:quantity', 'A1:name', 'w:name']);
    expect(words('pins: { A1: { role: bus } }\n', 'unit.controller.yaml')).toEqual(['+A1:name']);
    expect(words('bus: { messages: { one: { signals: { lambda: {} } } } }\n')).toEqual([
      '+one:name',
      '+lambda:name',
    ]);
  });

  test('leave titles and what is half written alone', () => {
    expect(words('title: 12 mm\nengine: { bore: mm, stroke: 7 }\nrevision: 3 bar\n')).toEqual(['7:number']);
  });

  test('are packed as the protocol wants them, a range of lines by itself', () => {
    const analysis = analysed('engine:\n  bore: 84 mm\n  stroke: 55 mm\n');
    const { semanticTokensProvider } = semanticTokens.capabilities;
    const types = semanticTokensProvider!.legend.tokenTypes;
    const [number, unit] = [types.indexOf('number'), types.indexOf('type')];
    expect(tokensOf(analysis).data).toEqual([
      ...[1, 8, 2, number, 0],
      ...[0, 3, 2, unit, 0],
      ...[1, 10, 2, number, 0],
      ...[0, 3, 2, unit, 0],
    ]);
    const second = { start: { line: 2, character: 0 }, end: { line: 2, character: 20 } };
    expect(tokensOf(analysis, second).data).toEqual([2, 10, 2, number, 0, 0, 3, 2, unit, 0]);
  });
});
