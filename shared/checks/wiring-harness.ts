import { nodeOf, nodesOf } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { nominalVoltage } from '../derived/operating-point.ts';
import { valueText } from '../derived/value.ts';
import { harnessConductors, protectorLimit, wireProtector, wireVoltageDrop } from '../derived/wiring.ts';
import { voltageDropLimit } from '../physics/wire.ts';
import { keyOf } from '../source/source-file.ts';
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

export const fuseAboveWire: Check = engineCheck({
  id: 'fuse-above-wire',
  severity: 'warning',
  title: 'Fuse too large for wire',
  page: {
    catches: 'A fuse or breaker above the maximum for the gauge of its wire.',
    why: 'In a short circuit the fuse must open before the wire overheats. If the fuse is too large, the wire burns first.',
    example: 'wires: { 1: { circuit: supply, gauge: 20 AWG, length: 1.4 m, current: 5 A, fuse: 15 A } }',
    remedy: 'Use a smaller fuse, or a thicker wire if the load needs it.',
    basis:
      'FAA AC 43.13-1B table 11-3: the column for breakers, which has the larger values, or the column for fuses where the table has no breaker.',
  },
  *find({ installation: { configuration }, derivation }) {
    const limits = new Map(derivation.get(wireProtector).map((value) => [value.node, value]));
    for (const wire of harnessConductors(configuration)) {
      const limit = wire.fuse && limits.get(wire.fuse.node);
      if (!limit || !wire.fuse || !wire.gauge || wire.fuse.canonical <= limit.canonical) continue;
      const { protector } = protectorLimit(wire.gauge.canonical)!;
      yield {
        at: wire.fuse.node,
        message: `The fuse of ${wire.fuse.node.text} is too large for ${wire.gauge.node.text} wire; the largest ${protector} for it is ${valueText(limit)}.`,
        related: [{ at: wire.gauge.node, message: 'The gauge of the wire.' }],
        fixes: [
          {
            title: `Change to ${valueText(limit)}, the maximum for this wire`,
            safety: 'choice',
            edits: [{ span: wire.fuse.node, text: valueText(limit) }],
          },
        ],
      };
    }
  },
});

export const fuseBelowCurrent: Check = engineCheck({
  id: 'fuse-below-current',
  severity: 'error',
  title: 'Fuse below load current',
  page: {
    catches: 'A fuse smaller than the steady current of its wire.',
    why: 'The fuse opens while the load is in use: a pump or coil that works on the ground fails at full power.',
    example: 'wires: { 1: { circuit: supply, gauge: 16 AWG, length: 1.4 m, current: 9 A, fuse: 7.5 A } }',
    remedy: 'Use a larger fuse with a wire that is thick enough for it, or correct the current.',
    basis: 'The rating of a fuse is the current that it carries continuously.',
  },
  *find({ installation: { configuration } }) {
    for (const wire of harnessConductors(configuration)) {
      if (!wire.fuse || !wire.current || wire.fuse.canonical >= wire.current.canonical) continue;
      yield {
        at: wire.fuse.node,
        message: `The fuse of ${wire.fuse.node.text} is below the ${wire.current.node.text} that this wire carries.`,
        related: [{ at: wire.current.node, message: 'The steady current of the wire.' }],
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
        at: keyOf(nodeOf(pin)) ?? nodeOf(pin),
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
