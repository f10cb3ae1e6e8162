import { nodeOf, nodesOf } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { nominalVoltage } from '../derived/operating-point.ts';
import { valueText } from '../derived/value.ts';
import { wireVoltageDrop } from '../derived/wiring.ts';
import { voltageDropLimit } from '../physics/wire.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, controllerCheck, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { formatStated, listed } from './words.ts';

export const wireVoltageDropHigh: Check = engineCheck({
  id: 'wire-voltage-drop',
  severity: 'warning',
  title: 'Voltage drop too high',
  page: {
    catches:
      'A wire with a voltage drop above the usual limit: 0.5 V in a 14 V system, 1 V in a 28 V system.',
    why: 'With less voltage, injectors open later and coils charge more slowly. The controller cannot correct for it, because it measures the voltage at its own pins.',
    example:
      'harness:\n  connectors:\n    main: { positions: 2, wires: { 1: { circuit: supply, gauge: 22 AWG, length: 4 m, current: 9 A } } }',
    remedy: 'Use a thicker or shorter wire. The ground return adds a similar drop.',
    basis:
      'FAA AC 43.13-1B table 11-6, continuous operation (from memory; the examples of tables 11-7 and 11-8 confirm it). Copper at 70 °C.',
  },
  *find({ installation: { configuration }, derivation }) {
    const nominal = nominalVoltage(configuration);
    const limit = voltageDropLimit(nominal.canonical, 'continuous');
    for (const drop of derivation.get(wireVoltageDrop)) {
      if (drop.canonical <= limit) continue;
      yield {
        at: drop.node,
        message: `The voltage drop along this wire is ${valueText(drop)} (${drop.substituted}); the limit at ${formatStated(nominal.canonical, 'V')} is ${formatStated(limit, 'V')}.`,
      };
    }
  },
});

export const wireBeyondConnector: Check = engineCheck({
  id: 'wire-beyond-connector',
  severity: 'error',
  title: 'Unknown connector position',
  page: {
    catches: 'A wire at a position that its connector does not have.',
    why: 'The wire has nowhere to go; the wiring plan is for another connector.',
    example: 'connectors:\n  main: { positions: 6, wires: { 7: { circuit: ground, gauge: 16 AWG } } }',
    remedy: 'Correct the position or the number of positions.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration } }) {
    for (const [name, { positions, wires }] of Object.entries(configuration.harness?.connectors ?? {})) {
      for (const position of positions && wires ? Object.keys(wires) : []) {
        const number = Number(position);
        if (Number.isInteger(number) && number >= 1 && number <= positions!.canonical) continue;
        const key = nodesOf(wires!)
          .findLast((one) => one.entry(position))
          ?.entry(position)?.key;
        if (!key) continue;
        yield {
          at: key,
          message: `Position ${position} does not exist; connector ${quote(name)} has ${counted(positions!.canonical, 'position')}.`,
          related: [{ at: positions!.node, message: 'The number of positions.' }],
        };
      }
    }
  },
});

export const pinBeyondConnector: Check = controllerCheck({
  id: 'pin-beyond-connector',
  severity: 'error',
  title: 'Pin not on its connector',
  page: {
    catches:
      'In a controller file with a `connectors` section, a pin whose name is not a connector followed by one of its positions.',
    why: 'An engine file may use the pin, but its wire has nowhere to go.',
    example: 'connectors: { A: { positions: 20 } }\npins:\n  A21: { role: analog-input }',
    remedy: 'Correct the name of the pin or the number of positions.',
    basis: 'The file contradicts itself.',
  },
  *find({ connectors, pins }) {
    if (!connectors || !pins) return;
    for (const [name, pin] of Object.entries(pins)) {
      const [, letters = '', digits] = /^(\D*)(\d*)$/.exec(name) ?? [];
      const positions = Object.hasOwn(connectors, letters) ? connectors[letters]!.positions : undefined;
      if (Object.hasOwn(connectors, letters) && !positions) continue;
      const number = Number(digits);
      if (positions && number >= 1 && number <= positions.canonical) continue;
      yield {
        at: keyNode(nodeOf(pin)),
        message: positions
          ? `Pin ${quote(name)} does not exist; connector ${quote(letters)} has ${counted(positions.canonical, 'position')}.`
          : `${misplaced(name, letters)}; ${existing(Object.keys(connectors))}.`,
        related: positions ? [{ at: positions.node, message: 'The number of positions.' }] : [],
      };
    }
  },
});

const misplaced = (pin: string, letters: string): string =>
  letters === ''
    ? `Pin ${quote(pin)} does not name a connector`
    : `Pin ${quote(pin)} is on connector ${quote(letters)}, which does not exist`;

const existing = (connectors: readonly string[]): string =>
  connectors.length === 1
    ? `the controller has connector ${quote(connectors[0]!)}`
    : `the controller has connectors ${listed(connectors.map(quote))}`;

export const supplyOutOfOrder: Check = engineCheck({
  id: 'supply-out-of-order',
  severity: 'error',
  title: 'Supply voltages out of order',
  page: {
    catches:
      'A harness supply whose minimum is above its nominal voltage, or whose nominal voltage is above its maximum.',
    why: 'Coils are checked at the minimum voltage and loads at the others. If two of the voltages are swapped, the weakest spark is computed for a voltage that never occurs.',
    example: 'harness:\n  supply: { nominal: 13.8 V, minimum: 14.5 V, maximum: 15.0 V }',
    remedy: 'Correct the wrong voltage.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration } }) {
    const { minimum, nominal, maximum } = configuration.harness?.supply ?? {};
    const named = [
      ['minimum', minimum],
      ['nominal', nominal],
      ['maximum', maximum],
    ] as const;
    const written = named.flatMap(([name, value]) => (value ? [{ name, value }] : []));
    for (const [i, { name, value }] of written.entries()) {
      const next = written[i + 1];
      if (!next || !passes(value.canonical, next.value.canonical)) continue;
      yield {
        at: value.node,
        message: `The ${name} supply voltage of ${value.node.text} is above the ${next.name} supply voltage of ${next.value.node.text}.`,
        related: [{ at: next.value.node, message: `The ${next.name} supply voltage.` }],
      };
    }
  },
});
