import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { InlayHintLabelPart, Location, MarkupContent } from 'vscode-languageserver/node';
import type { Editor } from '../../server/editor.ts';
import { inlayHintsIn, resolvedHint } from '../../server/features/inlay-hints.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { SAMPLES } from '../support/samples.ts';
import { analysed, editor, OVERLAY, plainEditor, wholeText } from './marked.ts';

/** The lines with hints, with each hint where the editor shows it. */
function shown(analysis: Analysis, range = wholeText): string[] {
  const byLine = new Map<number, string>();
  const hints = inlayHintsIn(analysis, { range }, editor);
  for (const { position, label } of [...hints].sort((a, b) => b.position.character - a.position.character)) {
    const { line, character } = position;
    const text = byLine.get(line) ?? analysis.file.lines.line(line);
    const hint = (label as InlayHintLabelPart[]).map(({ value }) => value).join('');
    byLine.set(line, `${text.slice(0, character)}⟦${hint}⟧${text.slice(character)}`);
  }
  return [...byLine].sort(([a], [b]) => a - b).map(([, text]) => text.trim());
}

describe('hints', () => {
  test('stand behind what the values follow from', () => {
    const text = `${OVERLAY}engine:
  cylinders: 4
  bore: 84 mm
  stroke: 55 mm # between decks
fuel:
  rail: { pump_flow: 110 L/h }
  injectors:
    static_flow: 340 cc/min
operating_points:
  take_off: { speed: 5600 rpm, throttle: 100 %, pressure_altitude: 0 ft, isa_deviation: 15 K, map_set: climb }
  cruise:
    speed: 4600 rpm
`;
    expect(shown(analysed(text))).toEqual([
      'cylinders: 4⟦= 1.22 L⟧',
      'bore: 84 mm⟦knock frequency 6.63 kHz⟧',
      'stroke: 55 mm⟦= 305 cm3 per cylinder⟧ # between decks',
      'static_flow: 340 cc/min⟦327 cc/min at rail pressure⟧',
      'take_off: { speed: 5600 rpm, throttle: 100 %, pressure_altitude: 0 ft, isa_deviation: 15 K, map_set: climb }' +
        '⟦= 140 kPa abs · duty 42.3 % · 72.2 kW⟧',
      'cruise:⟦= 105 kPa abs · duty 26.7 % · 43.9 kW⟧',
    ]);
  });

  test('of the members of a list stand behind it, from the least to the most', () => {
    const text = `${OVERLAY}ignition:
  dwell:
    x: { quantity: battery_voltage, unit: V, breakpoints: [8, 10, 12, 14, 16] }
    unit: ms
    values: [4.6, 3.2, 2.5, 2.0, 1.7]
`;
    expect(shown(analysed(text))).toEqual([
      'values: [4.6, 3.2, 2.5, 2.0, 1.7]⟦7.69..8.02 A · 88.6..96.5 mJ⟧',
    ]);
  });

  test('fit what the editor shows of a line; what does not is counted, and explained there', () => {
    const { settings } = editor;
    const all = {
      ...editor,
      hintLength: 43,
      settings: { ...settings, inlayHints: { ...settings.inlayHints, density: 'all' } },
    } as Editor;
    const analysis = analysed(readFileSync(`${SAMPLES}dotterel/dotterel-16t.engine.yaml`, 'utf8'));
    const labels = inlayHintsIn(analysis, { range: wholeText }, all).map((hint) => ({
      hint,
      parts: (hint.label as InlayHintLabelPart[]).filter(({ value }) => value !== ' · '),
    }));
    const counting = labels.filter(({ parts }) => /^\d+ more$/.test(parts.at(-1)!.value));
    expect(counting.length).toBeGreaterThan(0);
    for (const { parts } of labels)
      if (parts.length > 2)
        expect(parts.map(({ value }) => value).join(' · ').length).toBeLessThanOrEqual(43);
    for (const { hint } of counting) {
      const full = resolvedHint(analysis, hint, all).label as InlayHintLabelPart[];
      const { value, tooltip } = full.at(-1)!;
      const explained = (tooltip as MarkupContent).value.split('\n\n---\n\n**').length;
      expect(`${explained} more`).toBe(value);
    }
  });

  test('stand only behind text of this file, not behind that of its base', () => {
    expect(shown(analysed(`${OVERLAY}engine:\n  bore: 86 mm\n`))).toEqual([
      'bore: 86 mm⟦knock frequency 6.47 kHz⟧',
    ]);
  });

  test('are given for the lines that are asked for', () => {
    const range = { start: { line: 2, character: 0 }, end: { line: 2, character: 0 } };
    const text = `${OVERLAY}engine:\n  cylinders: 4\n  bore: 86 mm\n`;
    expect(shown(analysed(text), range)).toEqual(['cylinders: 4⟦= 1.28 L⟧']);
  });

  test('explain each number when the pointer rests on it, and not before', () => {
    const analysis = analysed(`${OVERLAY}engine:\n  bore: 86 mm\n`);
    const [hint] = inlayHintsIn(analysis, { range: wholeText }, editor);
    expect(hint!.label).toEqual([{ value: 'knock frequency 6.47 kHz' }]);
    const [part] = resolvedHint(analysis, hint!, editor).label as InlayHintLabelPart[];
    expect((part!.tooltip as MarkupContent).value).toContain('`f_k = ζ · a / (π · B)`');
    const [atOnce] = inlayHintsIn(analysis, { range: wholeText }, plainEditor);
    expect(atOnce!.label).toEqual([part]);
  });

  /** The targets of the parts of a hint: all of them if the editor lists places, otherwise the nearest. */
  function ways(text: string, line: number, by: Editor): string[][] {
    const analysis = analysed(text);
    const hint = inlayHintsIn(analysis, { range: wholeText }, editor).find(
      (one) => one.position.line === line,
    )!;
    return (resolvedHint(analysis, hint, by).label as InlayHintLabelPart[]).map(({ location, command }) => {
      const places = (command?.arguments?.[2] as Location[] | undefined) ?? (location ? [location] : []);
      return places.map(({ uri, range }) => {
        const file = analysis.files.find(({ path }) => by.uriOf(path) === uri)!;
        return file.text.slice(file.lines.offset(range.start), file.lines.offset(range.end));
      });
    });
  }

  test('lead to what each number follows from, through the values between and into the base', () => {
    const text = `${OVERLAY}engine:\n  cylinders: 4\noperating_points:\n  cruise:\n    speed: 4600 rpm\n`;
    const able = { ...editor, showPlaces: 'show' };
    expect(ways(text, 2, able)).toEqual([['cylinders', 'bore', 'stroke']]);
    const [pressure, , duty] = ways(text, 4, able);
    expect(pressure).toEqual(['manifold_pressure']);
    expect(duty).toEqual(
      expect.arrayContaining(['speed', 'static_flow', 'dead_time', 'volumetric_efficiency']),
    );
    expect(ways(text, 2, editor)).toEqual([['cylinders']]);
  });

  test('stay as they are when the text has moved on', () => {
    const [hint] = inlayHintsIn(analysed(`${OVERLAY}engine:\n  bore: 86 mm\n`), { range: wholeText }, editor);
    expect(resolvedHint(analysed(`${OVERLAY}engine:\n  bore: 90 mm\n`), hint!, editor)).toBe(hint);
    expect(resolvedHint(analysed(OVERLAY), hint!, editor)).toBe(hint);
  });

  test('tell what a map set makes of the value that it lays over the engine', () => {
    const text = `${OVERLAY}map_sets:
  sets:
    quiet:
      when: third
      apply:
        boost:
          overboost_cut: 150 kPa abs
`;
    expect(shown(analysed(text))).toContain('overboost_cut: 150 kPa abs⟦160 kPa abs → 150 kPa abs⟧');
  });

  test('are left out where nothing can be derived', () => {
    expect(shown(analysed('engine:\n  cylinders: four\n'))).toEqual([]);
    expect(shown(analysed('controllerfile: 1\n', 'case.controller.yaml'))).toEqual([]);
  });
});
