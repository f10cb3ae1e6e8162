import { describe, expect, test } from 'vitest';
import type { MarkupContent } from 'vscode-languageserver/node';
import { hoverAt } from '../../server/features/hover.ts';
import { BETWEEN, FIRST } from '../../server/features/point-hover.ts';
import { Workspace } from '../../server/workspace.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { type Marked, marked, overlay } from './marked.ts';

function words({ analysis, position }: Marked): string | undefined {
  const contents = hoverAt(analysis, { position })?.contents as MarkupContent | undefined;
  return contents?.value.replaceAll('\u00a0', ' ');
}

test('words of a file stay words: what begins a line in them begins no picture and no link', () => {
  const axis = 'x: { quantity: battery_voltage, unit: V, breakpoints: [8, 12] }, unit: ms';
  const cell = String.raw`"2\n\n![i](https://example.org/i.png)\n- [a](command:b)"`;
  const said = words(overlay(`fuel: { injectors: { dead_time: { ${axis}, values: [$0${cell}, 1] } } }\n`));
  expect(said).toContain('`2 ![i](https://example.org/i.png) - [a](command:b)`');
});

test('is text without marks for an editor that does not show them', () => {
  const { analysis, position } = overlay(
    'operating_points: { cl$0imb: { speed: 5600 rpm, throttle: 100 % } }\n',
  );
  const said = hoverAt(analysis, { position }, undefined, false)!.contents as MarkupContent;
  expect(said.kind).toBe('plaintext');
  const lines = said.value.replaceAll('\u00a0', ' ').split('\n');
  expect(lines).toContainEqual(expect.stringMatching(/^Manifold pressure {2}[\d.]+ kPa abs {2}/));
  expect(lines).toContainEqual(expect.stringMatching(/^Air: /));
  expect(said.value).not.toMatch(/[`\\]|\*\*|^\||^---$/m);
});

test('of a value under a key that an edit made the second of its name is the same as afresh', () => {
  const uri = 'file:///case.engine.yaml';
  const later = 'boost:\n  intercooler: { pressure_loss: 5 kPa }\n';
  const earlier = 'boost:\n  overboost_cut: 160 kPa abs\n';
  const said = (workspace: Workspace, line: number) =>
    hoverAt(workspace.analysis(uri)!, { position: { line, character: 34 } })!.contents;
  const edited = new Workspace({ read: () => undefined });
  edited.rewrite(uri, [{ text: later }]);
  expect(said(edited, 1)).toMatchObject({ value: expect.stringContaining('0.05') });
  const start = { line: 0, character: 0 };
  edited.rewrite(uri, [{ range: { start, end: start }, text: earlier }]);
  const fresh = new Workspace({ read: () => undefined });
  fresh.rewrite(uri, [{ text: earlier + later }]);
  expect(said(edited, 3)).toEqual(said(fresh, 3));
  expect(said(edited, 3)).toMatchObject({ value: expect.not.stringContaining('0.05') });
});

describe('a key', () => {
  test('says what it means, what it holds and what is usual', () => {
    const said = words(overlay('ignition: { co$0il: { primary_resistance: 0.6 ohm } }\n'));
    expect(said).toContain('**Coil**');
    const resistance = words(overlay('ignition: { coil: { primary_re$0sistance: 0.6 ohm } }\n'));
    expect(resistance).toContain('a resistance, such as');
    expect(resistance).toMatch(/Usual: `[\d.]+\.\.[\d.]+ ohm` \(common practice, no source\)/);
  });

  test('of a map names its axes', () => {
    expect(words(overlay('fuel: { target_la$0mbda: {} }\n'))).toContain(
      'a map over engine speed and manifold pressure',
    );
  });

  test('of a threshold says what that one limits and where it usually stands', () => {
    const text = 'checks: { pump-margin: { mar$0gin: 10 %, reason: A second pump. } }\n';
    expect(words(marked(text))).toMatch(/Usual margin of the pump over the fuel flow\.\n\nDefault: `15 %`/);
  });

  test('shows the names in its description as code', () => {
    expect(words(marked('map_sets: { sel$0ector: mode_switch }\n'))).toContain(
      'Name under `inputs` of the switch',
    );
  });

  test('of the fuel grade, and its value, show the numbers that the grade sets', () => {
    for (const text of ['fuel: { gra$0de: e85 }\n', 'fuel: { grade: e8$05 }\n']) {
      const said = words(overlay(text));
      expect(said).toContain('`e85` is 85 % ethanol and 15 % gasoline by volume: density `0.7864 kg/L`,');
      expect(said).toMatch(/stoichiometric ratio `9\.\d+`, lower heating value `29\.\d+ MJ\/kg`/);
      expect(said).toContain('ideal mixture');
    }
    expect(words(overlay('fuel: { grade: e9$00 }\n'))).not.toContain('MJ/kg');
  });

  test('that the schema does not know says nothing', () => {
    expect(words(overlay('engine: { bo$0ar: 84 mm }\n'))).toBeUndefined();
  });

  test('of an operating point tells first what it comes to, then what leads there, then its sensor faults', () => {
    const point = '{ speed: 5600 rpm, throttle: 100 %, pressure_altitude: 0 ft }';
    const said = words(overlay(`operating_points:\n  cl$0imb_out: ${point}\n`));
    const parts = [
      '| Manifold pressure |',
      '| Estimated power |',
      '**Air**',
      '**Fuel**',
      '**Sensor faults**',
    ];
    const places = parts.map((part) => said!.indexOf(part));
    expect(places).not.toContain(-1);
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(said).toMatch(/\| Injector duty \| [\d.]+ % \| `[\d.]+ ms · 1 \/ [\d.]+ ms = [\d.]+ %` \|/);
    expect(said).toContain('**Air**: ambient pressure 101 kPa abs · ambient temperature');
    // 2 · 55 mm · 5600 rpm / 60
    expect(said).toContain('mean piston speed 10.3 m/s');
    expect(said!.split('\n').length).toBeLessThan(45);
  });

  test('of an operating point has a row for each way of a sensor to fail', () => {
    const said = words(
      overlay(
        'sensors: { manifold_pressure: { substitute: 120 kPa abs } }\noperating_points: { ta$0ke_off: {} }\n',
      ),
    )!;
    const table = said.slice(said.indexOf('**Sensor faults**')).split('\n').slice(2);
    expect(table[0]).toBe(
      '| Failed sensor | Lambda | Manifold pressure | Injector duty | Ignition advance |',
    );
    const row = table.find((line) => line.startsWith('| manifold\\_pressure on its substitute value |'))!;
    expect(row.split(' | ')[2]).toBe('120 kPa abs');
    expect(table.filter((line) => line.startsWith('| manifold'))).toHaveLength(1);
  });

  test('every value that the page of a point names is one that there is', () => {
    const known = pointValues.map(({ id }) => id);
    expect(known).toEqual(expect.arrayContaining([...FIRST, ...Object.values(BETWEEN).flat()]));
  });
});

describe('a value', () => {
  test('is given in other units, with the formula, numbers and source of what follows from it', () => {
    const said = words(overlay('engine: { bore: 8$04 mm }\n'))!;
    expect(said).toContain('**Bore** `84 mm`');
    expect(said).toContain('`3.307 in`');
    expect(said).toContain('**Knock frequency');
    expect(said).toContain('`f_k = ζ · a / (π · B)`');
    expect(said).toContain('84 mm) = 6.63 kHz`');
    expect(said).toContain('Draper');
    expect(said).not.toContain('outside');
    expect(words(overlay('engine: { bore: 0.5$0 m }\n'))).toContain('bore 500 mm is outside 20 to 400 mm');
  });

  test('that names a pin tells what the controller offers there, and who uses it', () => {
    const said = words(overlay('sensors: { oil_pressure: { pin: A$01 } }\n'))!;
    expect(said).toContain('**Pin A1**');
    expect(said).toContain('role `analog-input`');
    expect(said).toContain('range `0..5 V`');
    expect(said).toContain('Used by `manifold_pressure`, `oil_pressure`.');
  });

  test('that names a pin which the controller does not have says so', () => {
    const said = words(overlay('sensors: { oil_pressure: { pin: Z$09 } }\n'))!;
    expect(said).toContain('The controller file does not describe this pin.');
  });

  test('keeps its pressure reference in every unit', () => {
    const said = words(overlay('boost: { overboost_cut: 1$060 kPa abs }\n'));
    expect(said).toContain('`1.6 bar abs`');
    expect(said).not.toContain('`1.6 bar`');
  });

  test('of a pair in a scaling is shown with its partner', () => {
    const said = words(
      overlay('sensors: { extra: { measures: manifold_pressure, scaling: { 0.4$00 V: 20 kPa abs } } }\n'),
    );
    expect(said).toContain('`0.4 V`');
    expect(said).toContain('`20 kPa abs`');
  });

  test('that is a choice is explained by its key', () => {
    expect(words(overlay('engine: { layout: opp$0osed }\n'))).toContain('**Layout** · one of `inline`');
  });
});

describe('a table', () => {
  const filling = (values: string) =>
    overlay(`fuel:
  volumetric_efficiency:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 180] }
    unit: "%"
    values: ${values}
`);

  test('tells the coordinates of a cell, and what its filling means for the injector', () => {
    const said = words(filling('[[48, 57], [76, 8$09]]'))!;
    expect(said).toContain('**Volumetric efficiency** `89 %`');
    expect(said).toContain('at engine speed `6000 rpm`, manifold pressure `180 kPa abs`');
    // Air by hand: 0.89 · 180000 Pa · π/4 · (84 mm)² · 55 mm / (287.05 J/(kg K) · T), T the charge temperature.
    expect(said).toMatch(
      /\| Air mass per cylinder and cycle \| [\d.]+ mg \| `89 % · 180 kPa abs · 304\.8 cm3/,
    );
    for (const label of ['Fuel mass', 'Injector pulse width', 'Injector duty'])
      expect(said).toContain(`| ${label}`);
    expect(said).toContain('SAE J1832: Low Pressure Gasoline Fuel Injector');
    expect(said).toMatch(/\[from memory: only its list of terms was read/);
  });

  test('tells the coordinates even where its rows do not fit its axes', () => {
    const said = words(filling('[[48, 57], [76, 8$09, 91]]'))!;
    expect(said).toContain('at engine speed `6000 rpm`');
    expect(said).not.toContain('Injector duty');
  });

  test('gives a breakpoint its unit', () => {
    const said = words(
      overlay(
        'fuel: { target_lambda: { x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 60$000] } } }\n',
      ),
    );
    expect(said).toContain('**Engine speed** `6000 rpm`');
  });
});

test('nothing is said of comments, blanks and what cannot be read', () => {
  expect(words(overlay('# eng$0ine\n'))).toBeUndefined();
  expect(words(marked('- $0]{ :'))).toBeUndefined();
});
