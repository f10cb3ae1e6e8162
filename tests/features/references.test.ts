import { describe, expect, test } from 'vitest';
import { DocumentHighlightKind } from 'vscode-languageserver/node';
import { highlightsAt } from '../../server/features/highlights.ts';
import { referencesAt } from '../../server/features/references.ts';
import { editor } from './marked.ts';
import { expected, markedWith, shop, withMarks } from './shop.ts';

function refers(fixture: string, includeDeclaration = true): void {
  const given = shop(fixture);
  const { analysis, position, workspace } = given;
  const context = { includeDeclaration };
  const found = referencesAt(analysis, { position, context }, editor, workspace);
  expect(markedWith(given, found)).toBe(expected(fixture));
}

describe('references', () => {
  test('reach through bases and overlays, whichever of them is open', () => {
    refers(`#-- base.engine.yaml
sensors:
  $[wi$0de]$: { measures: lambda, kind: wideband }
#-- tug.engine.yaml
based_on: ./base.engine.yaml
closed_loop: { lambda: { sensor: $[wide]$ } }
#-- mountain.engine.yaml
based_on: ./base.engine.yaml
sensors: { $[wide]$: { range: 0.65..1.30 } }
`);
  });

  test('stay apart where two files that know nothing of each other use one name', () => {
    refers(`#-- base.engine.yaml
title: base
#-- tug.engine.yaml
based_on: ./base.engine.yaml
operating_points: { $[hot$0]$: { speed: 5000 rpm } }
#-- mountain.engine.yaml
based_on: ./base.engine.yaml
operating_points: { hot: { speed: 4000 rpm } }
`);
  });

  test('of a pin are in every engine on that controller, and in no other', () => {
    refers(`#-- unit.controller.yaml
pins: { $[A7$0]$: { role: analog-input } }
#-- tug.engine.yaml
controller: ./unit.controller.yaml
sensors: { oil: { measures: oil_pressure, pin: $[A7]$ } }
#-- overlay.engine.yaml
based_on: ./tug.engine.yaml
sensors: { map: { measures: manifold_pressure, pin: $[A7]$ } }
#-- other.engine.yaml
controller: ./other.controller.yaml
sensors: { oil: { measures: oil_pressure, pin: A7 } }
#-- other.controller.yaml
pins: { A7: { role: analog-input } }
`);
  });

  test('of a pin are found through a base that names no controller itself', () => {
    refers(`#-- unit.controller.yaml
pins: { $[A7]$: { role: analog-input } }
#-- base.engine.yaml
sensors: { oil: { measures: oil_pressure, pin: $[A$07]$ } }
#-- tug.engine.yaml
based_on: ./base.engine.yaml
controller: ./unit.controller.yaml
`);
  });

  test('may leave out where the name is given', () => {
    refers(
      `#-- tug.engine.yaml
inputs: { panel: { kind: switch } }
map_sets: { selector: $[pan$0el]$, sets: { tow: { when: open } } }
`,
      false,
    );
  });

  test('of a quantity are its sensors, limits, axes and signals', () => {
    refers(`#-- tug.engine.yaml
sensors: { probe: { measures: $[oil_temperature]$ } }
protection: { hot_oil: { watches: $[oil_temp$0erature]$ } }
bus: { messages: { engine_1: { signals: { $[oil_temperature]$: { start_bit: 0 } } } } }
`);
  });

  test('of a limit are found in the paths of a controller file', () => {
    refers(`#-- unit.controller.yaml
storage:
  fields:
    protection.$[overspeed]$.hysteresis: { at: 0x10, type: u16, scale: 1 rpm }
#-- tug.engine.yaml
controller: ./unit.controller.yaml
protection: { $[over$0speed]$: { watches: engine_speed } }
`);
  });
});

describe('highlights', () => {
  test('are the places of this file, what gives the name marked as written', () => {
    const text = `inputs: { $[panel]$: { kind: switch } }
map_sets: { selector: $[pan$0el]$, sets: { tow: { when: open } } }
`;
    const { analysis, position, file } = shop(`#-- tug.engine.yaml\n${text}`);
    const found = highlightsAt(analysis, { position })!;
    expect(
      withMarks(
        file.text,
        found.map(({ range }) => range),
      ),
    ).toBe(expected(text));
    expect(found.map(({ kind }) => kind)).toEqual([DocumentHighlightKind.Write, DocumentHighlightKind.Read]);
  });

  test('are none where nothing is named', () => {
    const { analysis, position } = shop('#-- tug.engine.yaml\nengine: { bo$0re: 84 mm }\n');
    expect(highlightsAt(analysis, { position })).toBeNull();
  });
});
