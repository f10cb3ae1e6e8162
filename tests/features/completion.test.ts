import { describe, expect, test } from 'vitest';
import { CompletionTriggerKind, type TextEdit } from 'vscode-languageserver/node';
import { completionAt, withDocumentation } from '../../server/features/completion/completion.ts';
import { edited, editor, type Marked, marked, overlay, plainEditor } from './marked.ts';

function items({ analysis, position }: Marked, by = editor) {
  return completionAt(analysis, { position }, by);
}

const labels = (at: Marked): string[] => items(at).map(({ label }) => label);

/** The text after the item of that label is taken. */
function taken(at: Marked, label: string, by = editor): string {
  const item = items(at, by).find((one) => one.label === label);
  if (!item) throw new Error(`${label} is not offered`);
  return edited(at.analysis, [item.textEdit as TextEdit]).replace(/^based_on.*\n/, '');
}

describe('keys', () => {
  test('are those that the mapping lacks', () => {
    const offered = labels(overlay('engine:\n  bore: 84 mm\n  $0\n  cylinders: 4\n'));
    expect(offered).toContain('stroke');
    expect(offered).not.toContain('bore');
    expect(offered).not.toContain('cylinders');
    expect(offered).not.toContain('rail');
  });

  test('on an empty line belong to the mapping that the indentation says', () => {
    const rail = 'fuel:\n  grade: e85\n  rail:\n    pressure: 3 bar\n';
    expect(labels(overlay(`${rail}    $0\n`))).toEqual(['regulator', 'fault_pressure', 'pump_flow']);
    expect(labels(overlay(`${rail}  $0\n`))).toContain('injectors');
    expect(labels(overlay(`${rail}$0\n`))).toContain('ignition');
  });

  test('are found in a section that holds nothing yet', () => {
    expect(labels(overlay('boost:\n  $0\n'))).toContain('overboost_cut');
    expect(labels(marked('$0'))).toContain('enginefile');
  });

  test('are found in braces that are still open', () => {
    expect(labels(overlay('boost: { overboost_cut: 150 kPa abs, $0\nintake:\n  loss: 1 kPa\n'))).toContain(
      'servo',
    );
    expect(labels(overlay('boost: { overboost_cut: 150 kPa abs, se$0 }\n'))).toContain('servo');
  });

  test('that must be there come first', () => {
    const offered = items(marked('fuel:\n  $0\n')).sort((a, b) => (a.sortText! < b.sortText! ? -1 : 1));
    const required = offered.map(({ detail }) => detail!.startsWith('required'));
    expect(required.lastIndexOf(true)).toBeLessThan(required.indexOf(false));
    expect(required).toContain(true);
  });

  test('come with the form of their value and its unit, never with a number', () => {
    expect(taken(overlay('engine:\n  bo$0\n'), 'bore')).toBe('engine:\n  bore: $1 mm\n');
    expect(taken(overlay('engine:\n  $0\n'), 'cycle')).toBe(
      `engine:\n  cycle: \${1|four-stroke,two-stroke|}\n`,
    );
    expect(taken(overlay('ignition:\n  $0\n'), 'advance_range')).toBe(
      'ignition:\n  advance_range: $1..$2 deg\n',
    );
    expect(taken(overlay('engine: { $0 }\n'), 'firing_order')).toBe('engine: { firing_order: [$1] }\n');
    expect(taken(overlay('boost:\n  $0\n'), 'servo')).toBe(
      'boost:\n  servo:\n  $1\n', // the editor indents the new line
    );
    expect(taken(overlay('boost: { $0 }\n'), 'servo')).toBe('boost: { servo: { $1 } }\n');
  });

  test('take the place of the whole word, and keep the colon that stands there', () => {
    expect(taken(overlay('engine:\n  bo$0re: 84 mm\n'), 'stroke')).toBe('engine:\n  stroke: 84 mm\n');
  });

  test('are plain text for an editor without snippets', () => {
    expect(taken(overlay('engine:\n  $0\n'), 'bore', plainEditor)).toBe('engine:\n  bore: \n');
  });

  test('are not offered because a line is indented', () => {
    const { analysis, position } = overlay('engine:\n  $0\n');
    const context = { triggerKind: CompletionTriggerKind.TriggerCharacter, triggerCharacter: ' ' };
    expect(completionAt(analysis, { position, context }, editor)).toEqual([]);
  });

  test('that are names of quantities or of checks are offered where those are keys', () => {
    expect(labels(overlay('checks:\n  $0\n'))).toContain('injector-duty-high');
    expect(labels(overlay('bus:\n  messages:\n    m:\n      signals:\n        $0\n'))).toContain(
      'oil_temperature',
    );
  });

  test('are explained when they are looked at', () => {
    const bore = items(overlay('engine:\n  $0\n')).find(({ label }) => label === 'bore')!;
    expect(bore.documentation).toBeUndefined();
    expect(withDocumentation(bore).documentation).toMatchObject({
      value: expect.stringContaining('The cylinder bore.'),
    });
  });

  test('of a controller file are its own', () => {
    expect(labels(marked('controllerfile: 1\npins:\n  A1: { $0 }\n', 'case.controller.yaml'))).toContain(
      'role',
    );
  });
});

describe('units', () => {
  test('fit the kind of the key', () => {
    expect(labels(overlay('engine:\n  bore: 84 $0\n'))).toContain('in');
    expect(labels(overlay('engine:\n  bore: 84 $0\n'))).not.toContain('bar');
    expect(labels(overlay('boost:\n  overboost_cut: 160 $0\n'))).toEqual(
      expect.arrayContaining(['kPa abs', 'bar abs']),
    );
    expect(labels(overlay('boost:\n  overboost_cut: 160 $0\n'))).not.toContain('kPa');
  });

  test.each(['84$0', '84 $0', '84 m$0'])('follow the number with one blank: %s', (text) => {
    expect(taken(overlay(`engine:\n  bore: ${text}\n`), 'mm')).toBe('engine:\n  bore: 84 mm\n');
  });

  test('stand behind the upper end of a range', () => {
    expect(taken(overlay('ignition:\n  advance_range: -10..38 $0\n'), 'deg')).toContain('-10..38 deg');
    expect(labels(overlay('ignition:\n  advance_range: -10 $0\n'))).toEqual([]);
  });

  test('of both sides of a scaling', () => {
    const sensor = (scaling: string) =>
      overlay(`sensors:\n  extra: { measures: oil_pressure, scaling: { ${scaling} } }\n`);
    expect(labels(sensor('0.5 $0'))).toEqual(expect.arrayContaining(['V', 'mV']));
    expect(labels(sensor('0.5 V: 3 $0'))).toContain('bar gauge');
    expect(labels(sensor('0.5 V: 3 $0'))).not.toContain('V');
  });

  test('of what a protection watches', () => {
    const at = overlay('protection:\n  hot: { watches: coolant_temperature, above: { warning: 118 $0 } }\n');
    expect(labels(at)).toContain('°C');
  });

  test('of an axis follow from its quantity, those of cells from the table', () => {
    const map = (rest: string) => overlay(`fuel:\n  volumetric_efficiency:\n    ${rest}\n`);
    expect(labels(map('x: { quantity: engine_speed, unit: $0 }'))).toContain('rpm');
    expect(taken(map('unit: $0'), '%')).toContain('unit: "%"');
    expect(taken(map('unit: "$0"'), '%')).toContain('unit: "%"');
  });
});

describe('words', () => {
  test('of a choice', () => {
    expect(labels(overlay('engine:\n  cycle: $0\n'))).toEqual(['four-stroke', 'two-stroke']);
    expect(labels(overlay('protection:\n  low: { action: [light, $0] }\n'))).toContain('fuel-cut');
    expect(labels(overlay('bus:\n  messages:\n    m: { extended: $0 }\n'))).toEqual(['true', 'false']);
  });

  test('that name things of this installation, or of the controller', () => {
    expect(labels(overlay('closed_loop: { knock: { sensor: $0 } }\n'))).toContain('oil_pressure');
    expect(labels(overlay('operating_points:\n  p: { map_set: $0 }\n'))).toEqual(['climb', 'ferry']);
    expect(labels(overlay('map_sets:\n  selector: $0\n'))).toEqual(['mode_switch']);
    expect(labels(overlay('outputs:\n  pump: { pin: $0 }\n'))).toContain('C15');
    expect(labels(overlay('sensors:\n  extra: { measures: $0 }\n'))).toContain('lambda');
  });

  test('are not offered in comments', () => {
    expect(labels(overlay('engine:\n  # cycle: $0\n'))).toEqual([]);
  });
});
