import { describe, expect, test } from 'vitest';
import { lensesIn } from '../../server/features/code-lenses.ts';
import { editor, plainEditor } from './marked.ts';
import { shop } from './shop.ts';

/** The lenses of the open file: `line: text`. */
function lenses(fixture: string): string[] {
  const { analysis, workspace } = shop(fixture);
  return lensesIn(analysis, plainEditor, workspace).map(
    ({ range, command }) => `${range.start.line}: ${command().title}`,
  );
}

describe('a lens', () => {
  test('says what uses a sensor, by its name and by its quantity', () => {
    expect(
      lenses(`#-- base.engine.yaml
$0sensors:
  wide: { measures: lambda, kind: wideband }
  crank: { measures: crank_position }
  oil: { measures: oil_temperature }
protection: { overspeed: { watches: engine_speed } }
bus: { messages: { engine_1: { signals: { lambda: { start_bit: 0 } } } } }
#-- tug.engine.yaml
based_on: ./base.engine.yaml
closed_loop: { lambda: { sensor: wide } }
`),
    ).toEqual(['1: Used by 2: lambda, engine_1', '2: Used by 1: overspeed']);
  });

  test('says which limits a light shows', () => {
    expect(
      lenses(`#-- tug.engine.yaml
outputs:
  amber: { drives: light, meaning: caution }
  red: { drives: light, meaning: warning }
protection:
  hot: { watches: oil_temperature, above: { caution: 110 °C, warning: 120 °C }, action: [light] }
  fast: { watches: engine_speed, above: { warning: 5850 rpm }, action: [light, fuel-cut] }
  cut: { watches: engine_speed, above: { warning: 5900 rpm }, action: [ignition-cut] }
$0`),
    ).toEqual(['1: Used by 1: hot', '2: Used by 2: hot, fast']);
  });

  test('says what the exhaust temperature loop follows, and that the loop uses these sensors', () => {
    expect(
      lenses(`#-- tug.engine.yaml
$0sensors:
  egt_1: { measures: "exhaust_gas_temperature[1]", kind: thermocouple }
  egt_2: { measures: "exhaust_gas_temperature[2]", kind: thermocouple }
  oil: { measures: oil_temperature, kind: thermistor }
closed_loop:
  exhaust_gas_temperature: { target: 820 °C, limit: 880 °C }
`),
    ).toEqual([
      '1: Used by 1: exhaust_gas_temperature',
      '2: Used by 1: exhaust_gas_temperature',
      '5: Sensors 2: egt_1, egt_2',
    ]);
  });

  test('says which limits and loops act through an output, and what a relay switches', () => {
    expect(
      lenses(`#-- tug.engine.yaml
$0fuel: { cylinder_trim: { 2: 1.5 % } }
outputs:
  injector_1: { drives: injector, cylinder: 1 }
  injector_2: { drives: injector, cylinder: 2 }
  coil: { drives: ignition }
  gate: { drives: wastegate-servo }
  fuel_pump: { drives: relay }
  spare: { drives: relay }
closed_loop: { lambda: { authority: 10 % }, knock: { retard_step: 2 deg } }
protection:
  fast: { watches: engine_speed, above: { warning: 5850 rpm }, action: [fuel-cut] }
  hot: { watches: oil_temperature, above: { warning: 120 °C }, action: [reduce-boost, retard] }
harness: { connectors: { power: { wires: { 3: { circuit: fuel_pump, gauge: 16 AWG } } } } }
`),
    ).toEqual([
      '2: Used by 2: fast, lambda',
      '3: Used by 3: fast, lambda, cylinder_trim',
      '4: Used by 2: hot, knock',
      '5: Used by 1: hot',
      '6: Used by 1: power 3',
    ]);
  });

  test('names what acts through an output before its pin of the standby controller and its wires', () => {
    expect(
      lenses(`#-- tug.engine.yaml
controller: ./unit.controller.yaml
standby: { controller: ./unit.controller.yaml, drives: { gate: P2 } }
$0outputs:
  gate: { drives: wastegate-servo, pin: P1 }
harness:
  circuits: { gate_drive: { from: controller.P1, to: outputs.gate.drive } }
protection:
  hot: { watches: oil_temperature, above: { warning: 120 °C }, action: [reduce-boost] }
#-- unit.controller.yaml
pins: { P1: { role: servo-driver }, P2: { role: servo-driver } }
`),
    ).toEqual(['3: Used by 3: hot, standby, gate_drive']);
  });

  test('says in a controller file what is on a pin, and nothing of a free one', () => {
    expect(
      lenses(`#-- unit.controller.yaml
pins:
  C9: { role: servo-driver }
  C10: { role: servo-driver }$0
#-- tug.engine.yaml
controller: ./unit.controller.yaml
outputs: { wastegate: { pins: [C9] } }
`),
    ).toEqual(['1: Used by 1: wastegate']);
  });

  test('leads to the places in an editor that can show them', () => {
    const { analysis, workspace } = shop(
      '#-- tug.engine.yaml\n$0inputs: { panel: { kind: switch } }\nmap_sets: { selector: panel }\n',
    );
    const able = { ...editor, showPlaces: 'show' };
    const shown = lensesIn(analysis, able, workspace).map(({ range, command }) => ({
      range,
      command: command(),
    }));
    expect(shown).toEqual([
      {
        range: { start: { line: 0, character: 10 }, end: { line: 0, character: 15 } },
        command: {
          title: 'Used by 1: map_sets',
          command: 'show',
          arguments: [
            'file:///shop/tug.engine.yaml',
            { line: 0, character: 10 },
            [
              {
                uri: 'file:///shop/tug.engine.yaml',
                range: { start: { line: 1, character: 22 }, end: { line: 1, character: 27 } },
              },
            ],
          ],
        },
      },
    ]);
  });

  const filling = `fuel:
  volumetric_efficiency:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 5000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [50, 100, 101, 150] }
    unit: "%"
    values: [[60, 70, 75, 70], [70, 80, 86, 83], [70, 80, 86, 83], [75, 85, 90, 88]]
`;

  test('says how much of a map the envelope of an aspirated engine reaches: its speeds, and ambient less the intake', () => {
    // 101.325 kPa of ISO 2533 less 1.0 kPa is 100.325 kPa, so two of four rows; two of four columns.
    const text = `#-- tug.engine.yaml\n$0engine: { idle_speed: 1200 rpm, maximum_speed: 5500 rpm }\nintake: { loss: 1.0 kPa }\n${filling}`;
    expect(lenses(text)).toEqual(['3: The envelope reaches 4 of 16 cells']);
  });

  test('says nothing of a map where the engine does not say how far it goes', () => {
    expect(lenses(`#-- tug.engine.yaml\n$0engine: {}\n${filling}`)).toEqual([]);
  });
});
