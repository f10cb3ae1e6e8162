import { nodeOf, nodesOf } from '../configuration/values.ts';
import { nominalVoltage } from '../derived/operating-point.ts';
import { valueText } from '../derived/value.ts';
import { harnessWires, protectorLimit, wireProtector, wireVoltageDrop } from '../derived/wiring.ts';
import { voltageDropLimit } from '../physics/wire.ts';
import { keyOf } from '../source/source-file.ts';
import { type Check, controllerCheck, engineCheck } from './check.ts';
import { passes } from './threshold.ts';
import { formatQuantity, listed } from './words.ts';

export const wireVoltageDropHigh: Check = engineCheck({
  id: 'wire-voltage-drop',
  severity: 'warning',
  title: 'Too much voltage lost along a wire',
  page: {
    catches:
      'A wire that loses more of the supply than the usual limit: 0.5 V in a 14 V system, 1 V in a 28 V one.',
    why: 'Injectors open later and coils charge slower on the voltage that is left, and the controller does not know it: it measures at its own pins.',
    example:
      'harness:\n  connectors:\n    main: { positions: 2, wires: { 1: { circuit: supply, gauge: 22 AWG, length: 4 m, current: 9 A } } }',
    remedy: 'Use a thicker wire or a shorter way. The way back through ground loses as much again.',
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
        message: `This wire loses ${valueText(drop)} (${drop.substituted}); ${formatQuantity(limit, 'V')} is the limit at ${formatQuantity(nominal.canonical, 'V')}.`,
      };
    }
  },
});

export const fuseAboveWire: Check = engineCheck({
  id: 'fuse-above-wire',
  severity: 'warning',
  title: 'The fuse is larger than the wire bears',
  page: {
    catches: 'A fuse or breaker above the largest protector for the gauge of its wire.',
    why: 'A short must open the fuse before the wire glows. With a fuse too large, the wire is the fuse.',
    example: 'wires: { 1: { circuit: supply, gauge: 20 AWG, length: 1.4 m, current: 5 A, fuse: 15 A } }',
    remedy: 'Use a smaller fuse, or a thicker wire if the load needs it.',
    basis:
      'FAA AC 43.13-1B table 11-3, the column for breakers, which is the larger one; where it has none, the column for fuses.',
  },
  *find({ installation: { configuration }, derivation }) {
    const limits = new Map(derivation.get(wireProtector).map((value) => [value.node, value]));
    for (const { wire } of harnessWires(configuration)) {
      const limit = wire.fuse && limits.get(wire.fuse.node);
      if (!limit || !wire.fuse || !wire.gauge || wire.fuse.canonical <= limit.canonical) continue;
      const { protector } = protectorLimit(wire.gauge.canonical)!;
      yield {
        at: wire.fuse.node,
        message: `${wire.fuse.node.text} is too large for ${wire.gauge.node.text}: the largest ${protector} is ${valueText(limit)}.`,
        related: [{ at: wire.gauge.node, message: 'The gauge of the wire.' }],
        fixes: [
          {
            title: `Write ${valueText(limit)}, the largest for this wire`,
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
  title: 'The fuse opens in normal running',
  page: {
    catches: 'A fuse that is smaller than the steady current of its wire.',
    why: 'It opens when the load is on, which is when it is needed: a pump or a coil that worked on the ground goes dead at full power.',
    example: 'wires: { 1: { circuit: supply, gauge: 16 AWG, length: 1.4 m, current: 9 A, fuse: 7.5 A } }',
    remedy: 'Use a larger fuse with a wire that bears it, or correct the current.',
    basis: 'The meaning of a fuse’s rating.',
  },
  *find({ installation: { configuration } }) {
    for (const { wire } of harnessWires(configuration)) {
      if (!wire.fuse || !wire.current || wire.fuse.canonical >= wire.current.canonical) continue;
      yield {
        at: wire.fuse.node,
        message: `A fuse of ${wire.fuse.node.text} does not carry the ${wire.current.node.text} of this wire.`,
        related: [{ at: wire.current.node, message: 'The steady current of the wire.' }],
      };
    }
  },
});

export const wireBeyondConnector: Check = engineCheck({
  id: 'wire-beyond-connector',
  severity: 'error',
  title: 'The connector has no such position',
  page: {
    catches: 'A wire whose number is above the positions of its connector.',
    why: 'There is no contact to put it in; the plan and the connector do not belong together.',
    example: 'connectors:\n  main: { positions: 6, wires: { 7: { circuit: ground, gauge: 16 AWG } } }',
    remedy: 'Correct the position, or the number of positions.',
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
          message: `${name} has ${positions!.node.text} positions and no position ${position}.`,
          related: [{ at: positions!.node, message: 'The positions of the connector.' }],
        };
      }
    }
  },
});

export const pinBeyondConnector: Check = controllerCheck({
  id: 'pin-beyond-connector',
  severity: 'error',
  title: 'The controller’s connector has no such pin',
  page: {
    catches:
      'In a controller file that describes its connectors, a pin whose name is not the name of a connector with one of its positions.',
    why: 'An engine file may use the pin, and there is no contact to put the wire in.',
    example: 'connectors: { A: { positions: 20 } }\npins:\n  A21: { role: analog-input }',
    remedy: 'Correct the name of the pin, or the number of positions.',
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
          ? `Connector ${letters} has ${positions.node.text} positions and no pin ${name}.`
          : `The pin ${name} is on no connector; there are ${listed(Object.keys(connectors))}.`,
        related: positions ? [{ at: positions.node, message: 'The positions of the connector.' }] : [],
      };
    }
  },
});

export const supplyOutOfOrder: Check = engineCheck({
  id: 'supply-out-of-order',
  severity: 'error',
  title: 'Lowest, nominal and highest supply out of order',
  page: {
    catches: 'A harness supply whose minimum is above its nominal voltage, or that above its maximum.',
    why: 'Coils are checked at the lowest supply and loads at the nominal one. Exchanged, the weakest spark is looked for at a voltage that the engine never has.',
    example: 'harness:\n  supply: { nominal: 13.8 V, minimum: 14.5 V, maximum: 15.0 V }',
    remedy: 'Correct the one that is a slip.',
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
        message: `The ${name} supply of ${value.node.text} is above the ${next.name} one of ${next.value.node.text}.`,
        related: [{ at: next.value.node, message: `The ${next.name} supply.` }],
      };
    }
  },
});
