import { describe, expect, test } from 'vitest';
import { CompletionTriggerKind, type TextEdit } from 'vscode-languageserver/node';
import { completionAt, withDocumentation } from '../../server/features/completion/completion.ts';
import { edited, editor, emptyWorkspace, type Marked, marked, overlay, plainEditor } from './marked.ts';
import { shop } from './shop.ts';

function items({ analysis, position }: Marked, by = editor) {
  return completionAt(analysis, { position }, by, emptyWorkspace);
}

const labels = (at: Marked): string[] => items(at).map(({ label }) => label);

/** The text after accepting the item with that label. */
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

  test('are those that have a meaning with what the sensor is, or with what the output drives', () => {
    const sensor = (kind: string) => labels(overlay(`sensors:\n  extra: { ${kind}, $0 }\n`));
    expect(sensor('kind: toothed-wheel')).toEqual(expect.arrayContaining(['teeth', 'missing', 'pickup']));
    for (const key of ['scaling', 'beta', 'heater_pin'])
      expect(sensor('kind: toothed-wheel')).not.toContain(key);
    expect(sensor('kind: thermistor')).toEqual(
      expect.arrayContaining(['resistance', 'beta', 'fault_outside']),
    );
    expect(sensor('kind: thermistor')).not.toContain('teeth');
    expect(sensor('measures: lambda')).toEqual(expect.arrayContaining(['kind', 'teeth', 'scaling', 'beta']));
    const output = (drives: string) => labels(overlay(`outputs:\n  extra: { drives: ${drives}, $0 }\n`));
    expect(output('light')).toEqual(['pin', 'meaning', 'shows', 'resistance', 'current']);
    expect(output('injector')).toEqual(['cylinder', 'cylinders', 'pin', 'resistance', 'current']);
  });

  test('of fault notes are the parts in the fault table', () => {
    expect(labels(overlay('faults:\n  $0\n'))).toEqual(
      expect.arrayContaining(['sensors.egt_1', 'outputs.injector_1', 'controller']),
    );
  });

  test('offer the terminals, pins and splices as the ends of a circuit', () => {
    const ends = labels(
      overlay('harness:\n  splices: { s1: { location: here } }\n  circuits:\n    a: { from: $0 }\n'),
    );
    expect(ends).toEqual(
      expect.arrayContaining([
        'controller.A1',
        'sensors.egt_1.negative',
        'outputs.wastegate.motor_a',
        'splices.s1',
      ]),
    );
  });

  test('offer what a status signal may tell of, and the states that have no number yet', () => {
    const status = (text: string) =>
      labels(overlay(`bus:\n  messages:\n    m: { id: 1, length: 1 byte, signals: { s: { ${text} } } }\n`));
    const sources = status('start_bit: 0, bits: 2, of: $0');
    expect(sources).toEqual(
      expect.arrayContaining(['lights', 'map_set', 'sensor_faults', 'sensors.oil_pressure']),
    );
    expect(sources).not.toContain('sensors.knock');
    expect(status('of: lights, states: { 0: off, 1: $0 }')).toEqual(['caution', 'warning']);
    expect(status('of: map_set, states: { 0: $0 }')).toEqual(['climb', 'ferry']);
    expect(status('of: sensor_faults, states: { 0: $0 }')).toEqual([]);
  });

  test('offer the messages in which a convention sends what the sensors measure', () => {
    const at = (convention: string) =>
      overlay(
        `remove: [bus.messages.engine_1]\nbus:\n  bitrate: 250 kbit/s\n  convention: ${convention}\n  messages:\n    $0\n`,
      );
    const offered = labels(at('canaerospace'));
    expect(offered).toEqual(expect.arrayContaining(['all 10 messages', 'engine_speed', 'manifold_pressure']));
    expect(offered).not.toContain('cylinder_head_temperature');
    expect(labels(at('j1939'))).toEqual(expect.arrayContaining(['eec1', 'et1', 'efl_p1', 'ic1']));
    expect(labels(overlay('bus:\n  messages:\n    $0\n'))).toEqual([]);
    for (const convention of ['canaerospace', 'j1939']) {
      const all = items(at(convention), plainEditor).find(({ label }) => label.startsWith('all '))!;
      const text = (all.textEdit as TextEdit).newText
        .replaceAll('every: …', 'every: 100 ms')
        .replaceAll('\n', '\n    ');
      const file = marked(
        `based_on: ./complete.engine.yaml\nremove: [bus.messages.engine_1]\nbus:\n  bitrate: 250 kbit/s\n  convention: ${convention}\n  messages:\n    ${text}\n$0`,
      );
      const wrong = file.analysis.findings.filter(
        ({ path, severity }) => path.startsWith('bus') && severity === 'error',
      );
      expect(wrong.map(({ message }) => message)).toEqual([]);
    }
  });

  test('know what a sensor of the base is', () => {
    const offered = labels(overlay('sensors:\n  crank: { $0 }\n'));
    expect(offered).toContain('teeth');
    expect(offered).not.toContain('beta');
  });

  test('that the kind of a sensor calls for are required', () => {
    const offered = items(marked('sensors:\n  oil: { kind: thermistor, $0 }\n'));
    const required = offered.filter(({ detail }) => detail?.startsWith('required')).map(({ label }) => label);
    expect(required).toEqual(['measures', 'resistance']);
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
    const required = offered.map(({ detail }) => detail?.startsWith('required') ?? false);
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

  test('are not offered between a colon and what is to be its value', () => {
    const after = ['engine:\n  layout:$0 inline\n  cylinders: 4\n', 'engine: { layout:$0 inline }\n'];
    for (const text of ['based_on:$0 ./a.engine.yaml\nengine:\n  cylinders: 4\n', ...after]) {
      expect(labels(marked(text)), text).toEqual([]);
    }
  });

  test('are not offered where the word would run on into the next line', () => {
    expect(labels(marked('engine:\n  $0a\n   b\n  bore: 1 mm\n'))).toEqual([]);
  });

  test('are plain text for an editor without snippets', () => {
    expect(taken(overlay('engine:\n  $0\n'), 'bore', plainEditor)).toBe('engine:\n  bore: \n');
  });

  test('are not offered because a line is indented', () => {
    const { analysis, position } = overlay('engine:\n  $0\n');
    const context = { triggerKind: CompletionTriggerKind.TriggerCharacter, triggerCharacter: ' ' };
    expect(completionAt(analysis, { position, context }, editor, emptyWorkspace)).toEqual([]);
  });

  test('that are names of quantities or of checks are offered where those are keys', () => {
    expect(labels(overlay('checks:\n  $0\n'))).toContain('injector-duty-high');
    expect(labels(overlay('bus:\n  messages:\n    m:\n      signals:\n        $0\n'))).toContain(
      'oil_temperature',
    );
  });

  test('that move a threshold are those of the check, behind the reason', () => {
    const at = marked('checks: { pump-margin: { $0 } }\n');
    expect(labels(at)).toEqual(['reason', 'margin']);
    const margin = withDocumentation(items(at).at(-1)!, editor);
    expect(margin.documentation).toMatchObject({
      value: expect.stringMatching(/Usual margin of the pump over the fuel flow\.\n\nDefault: `15 %`/),
    });
    expect(labels(marked('checks: { pump-margin: { margin: 10 $0 } }\n'))).toContain('%');
    expect(labels(marked('checks: { no-such-check: { $0 } }\n'))).toEqual(['reason']);
  });

  test('are explained when they are looked at', () => {
    const bore = items(overlay('engine:\n  $0\n')).find(({ label }) => label === 'bore')!;
    expect(bore.documentation).toBeUndefined();
    expect(withDocumentation(bore, editor).documentation).toMatchObject({
      value: expect.stringContaining('Cylinder bore.'),
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

  test('that name pins are those of a role that fits, free ones first, used ones with their user', () => {
    const wastegate = items(overlay('outputs:\n  second: { drives: wastegate-servo, pins: [$0] }\n'));
    expect(wastegate.length).toBeGreaterThan(0);
    for (const { detail } of wastegate) expect(detail).toMatch(/^servo-driver/);
    const analog = items(overlay('sensors:\n  extra: { kind: linear, pin: $0 }\n')).map(
      ({ detail }) => detail!,
    );
    expect(analog.every((detail) => detail.startsWith('analog-input'))).toBe(true);
    const used = analog.map((detail) => detail.includes('used by'));
    expect(used.lastIndexOf(false)).toBeLessThan(used.indexOf(true));
    expect(analog).toContain('analog-input · used by manifold_pressure');
    expect(items(overlay('sensors:\n  wide: { heater_pin: $0 }\n')).map(({ detail }) => detail)).toEqual(
      expect.arrayContaining([expect.stringMatching(/^lambda-heater/)]),
    );
  });

  test('that name a pin do not say that its own sensor uses it', () => {
    const own = items(overlay('sensors: { manifold_pressure: { pin: A$01 } }\n'));
    expect(own.find(({ label }) => label === 'A1')?.detail).toBe('analog-input');
  });

  test('have no detail that repeats them', () => {
    const engine = ['$0', 'engine:\n  $0\n', 'fuel:\n  $0\n', 'closed_loop:\n  $0\n'].map((text) =>
      marked(text),
    );
    const words = [
      ...['sensors:\n  extra: { measures: $0 }\n', 'closed_loop: { knock: { sensor: $0 } }\n'],
      ...['map_sets:\n  selector: $0\n', 'sensors:\n  extra: { kind: linear, pin: $0 }\n'],
    ].map((text) => overlay(text));
    const offered = [...engine, ...words].flatMap((at) => items(at));
    const plainly = (text: string) => text.toLowerCase().replaceAll('_', ' ');
    expect(offered.filter(({ detail }) => detail !== undefined).length).toBeGreaterThan(20);
    const echoes = offered.filter(({ label, detail = '' }) =>
      detail.split(/ · |, /).some((part) => plainly(part) === plainly(label)),
    );
    expect(echoes.map(({ label }) => label)).toEqual([]);
  });

  test('are not offered in comments', () => {
    expect(labels(overlay('engine:\n  # cycle: $0\n'))).toEqual([]);
  });
});

describe('paths', () => {
  const FILES = `controllerfile: 1
#-- units/two.controller.yaml
controllerfile: 1
#-- base.engine.yaml
engine: {}
#-- tugs/above.engine.yaml
based_on: ./case.engine.yaml
#-- tugs/odd #2: new.engine.yaml
engine: {}
`;
  const inShop = (text: string) => {
    const { analysis, position, workspace } = shop(
      `#-- tugs/case.engine.yaml\n${text}#-- one.controller.yaml\n${FILES}`,
    );
    const found = completionAt(analysis, { position }, editor, workspace);
    return { analysis, found, labels: found.map(({ label }) => label) };
  };

  test('of the files of that kind in the workspace are offered, the nearest first', () => {
    expect(inShop('controller: $0\n').labels).toEqual([
      '../one.controller.yaml',
      '../units/two.controller.yaml',
    ]);
    expect(inShop('controller: ../u$0\n').labels).toContain('../units/two.controller.yaml');
  });

  test('leave out the file itself and what is based on it', () => {
    expect(inShop('based_on: $0\n').labels).toEqual(['./odd #2: new.engine.yaml', '../base.engine.yaml']);
  });

  test.each([
    ['based_on: $0\n', 'based_on: "./odd #2: new.engine.yaml"\n'],
    ['based_on: "$0"\n', 'based_on: "./odd #2: new.engine.yaml"\n'],
    ['based_on: ./o$0\n', 'based_on: "./odd #2: new.engine.yaml"\n'],
  ])('%j take the place of what is typed and stay one word of YAML', (before, after) => {
    const { analysis, found } = inShop(before);
    expect(edited(analysis, [found[0]!.textEdit as TextEdit])).toBe(after);
  });
});
