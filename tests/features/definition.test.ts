import { describe, expect, test } from 'vitest';
import { definitionAt } from '../../server/features/definition.ts';
import { editor } from './marked.ts';
import { expected, markedWith, shop } from './shop.ts';

/** Expects the definition of the word at the cursor to be the text between `$[` and `]$`. */
function leads(fixture: string): void {
  const given = shop(fixture);
  const { analysis, position, workspace } = given;
  expect(markedWith(given, definitionAt(analysis, { position }, editor, workspace))).toBe(expected(fixture));
}

const nothing = (fixture: string) => {
  const { analysis, position, workspace } = shop(fixture);
  return definitionAt(analysis, { position }, editor, workspace);
};

describe('a name leads to what it names', () => {
  test('a sensor in the base', () => {
    leads(`#-- base.engine.yaml
sensors:
  $[wide]$: { measures: lambda, kind: wideband }
#-- tug.engine.yaml
based_on: ./base.engine.yaml
closed_loop: { lambda: { sensor: wi$0de } }
#-- other.engine.yaml
sensors: { wide: { measures: lambda } }
`);
  });

  test('a pin in the controller file, from any member of a list', () => {
    leads(`#-- unit.controller.yaml
pins:
  C9: { role: servo-driver }
  $[C10]$: { role: servo-driver }
#-- tug.engine.yaml
controller: ./unit.controller.yaml
outputs: { wastegate: { drives: wastegate-servo, pins: [C9, C1$00] } }
`);
  });

  test('a switch and a map set', () => {
    leads(`#-- tug.engine.yaml
inputs: { $[panel]$: { kind: switch } }
map_sets: { selector: pa$0nel, sets: { tow: { when: open } } }
`);
    leads(`#-- tug.engine.yaml
map_sets: { sets: { $[tow]$: { when: open } } }
operating_points: { take_off: { map_set: "to$0w" } }
`);
  });

  test('a quantity to the sensors that measure it, one of several alike to its own', () => {
    leads(`#-- tug.engine.yaml
sensors:
  egt_1: { measures: "exhaust_gas_temperature[1]" }
  egt_2: { measures: "$[exhaust_gas_temperature[2]]$" }
protection: { hot: { watches: "exhaust_gas_$0temperature[2]" } }
`);
    leads(`#-- tug.engine.yaml
sensors: { probe: { measures: $[coolant_temperature]$ } }
fuel:
  warm_up_enrichment:
    x: { quantity: coolant$0_temperature, unit: °C, breakpoints: [0, 80] }
`);
  });
});

describe('a key leads to what it is laid over', () => {
  test('in the base of an overlay', () => {
    leads(`#-- base.engine.yaml
fuel: { rail: { $[pressure]$: 3 bar } }
#-- tug.engine.yaml
based_on: ./base.engine.yaml
fuel: { rail: { press$0ure: 3.5 bar } }
`);
  });

  test('from a map set in the engine itself', () => {
    leads(`#-- tug.engine.yaml
boost:
  $[overboost_cut]$: 170 kPa abs
map_sets: { sets: { ferry: { when: closed, apply: { boost: { overboost$0_cut: 150 kPa abs } } } } }
`);
  });

  test('from a storage field of the controller in the engine that uses it', () => {
    leads(`#-- unit.controller.yaml
storage:
  fields:
    engine.maximum$0_speed: { at: 0x10, type: u16, scale: 1 rpm }
#-- tug.engine.yaml
controller: ./unit.controller.yaml
engine: { $[maximum_speed]$: 5800 rpm }
`);
  });
});

test('a path leads to the start of its file, where there is one', () => {
  leads(`#-- base.engine.yaml
$[]$title: base
#-- tug.engine.yaml
based_on: ./ba$0se.engine.yaml
`);
  expect(nothing('#-- tug.engine.yaml\nbased_on: ./no$0ne.engine.yaml\n')).toBeNull();
});

test('a name that is given here leads to itself, so that an editor shows what refers to it', () => {
  leads('#-- tug.engine.yaml\nsensors: { $[wi$0de]$: { measures: lambda } }\n');
});

test('what has no origin leads nowhere', () => {
  expect(nothing('#-- tug.engine.yaml\nengine: { bore: 8$04 mm }\n')).toBeNull();
  expect(nothing('#-- tug.engine.yaml\n# comm$0ent\n')).toBeNull();
});
