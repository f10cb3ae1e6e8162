import type { EngineConfiguration } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { outputsThatDrive } from '../derived/loads.ts';
import { valueText } from '../derived/value.ts';
import {
  bundledCurrent,
  type Conductor,
  conductorsAt,
  type FeedConductor,
  feedWire,
  harnessConductors,
  harnessWires,
  PROTECTORS,
  wireProtector,
} from '../derived/wiring.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, engineCheck } from './check.ts';
import { passes } from './threshold.ts';
import { formatQuantity, percent } from './words.ts';

export const fuseAboveWire: Check = engineCheck({
  id: 'fuse-above-wire',
  severity: 'warning',
  title: 'Fuse or breaker too large',
  page: {
    catches:
      'A fuse or breaker larger than the maximum for its wire gauge; the table has different maxima for fuses and for breakers.',
    why: 'In a short circuit the fuse must open before the wire overheats. If the fuse is too large, the wire burns first.',
    example:
      'wires: { 1: { circuit: supply, gauge: 16 AWG, length: 1.4 m, current: 5 A, fuse: 15 A } }   # 15 A is the breaker for this wire',
    remedy:
      'Use a smaller fuse, or a thicker wire if the load needs it. Write a circuit breaker as `breaker`.',
    basis: 'FAA AC 43.13-1B table 11-3, which has one column for breakers and one for fuses.',
  },
  *find({ installation: { configuration }, derivation }) {
    const limits = new Map(derivation.get(wireProtector).map((value) => [value.node, value]));
    for (const wire of harnessConductors(configuration)) {
      for (const protector of PROTECTORS) {
        const written = wire[protector];
        const limit = written && limits.get(written.node);
        if (!limit || !wire.gauge || !passes(written.canonical, limit.canonical)) continue;
        yield {
          at: written.node,
          message: `The ${protector} of ${written.node.text} is too large for ${wire.gauge.node.text} wire; the largest ${protector} for it is ${valueText(limit)}.`,
          related: [{ at: wire.gauge.node, message: 'The gauge of the wire.' }],
          fixes: [
            {
              title: `Change to ${valueText(limit)}, the largest ${protector} for this wire`,
              safety: 'choice',
              edits: [{ span: written.node, text: valueText(limit) }],
            },
          ],
        };
      }
    }
  },
});

export const fuseBelowCurrent: Check = engineCheck({
  id: 'fuse-below-current',
  severity: 'error',
  title: 'Fuse or breaker below load current',
  page: {
    catches: 'A fuse or breaker smaller than the steady current of its wire.',
    why: 'The fuse opens while the load is in use: a pump or coil that works on the ground fails at full power.',
    example: 'wires: { 1: { circuit: supply, gauge: 16 AWG, length: 1.4 m, current: 9 A, fuse: 7.5 A } }',
    remedy: 'Use a larger fuse with a wire that is thick enough for it, or correct the current.',
    basis: 'The rating of a fuse or breaker is the current that it carries continuously.',
  },
  *find({ installation: { configuration } }) {
    for (const wire of harnessConductors(configuration)) {
      for (const protector of PROTECTORS) {
        const written = wire[protector];
        if (!written || !wire.current || written.canonical >= wire.current.canonical) continue;
        yield {
          at: written.node,
          message: `The ${protector} of ${written.node.text} is below the ${wire.current.node.text} that this wire carries.`,
          related: [{ at: wire.current.node, message: 'The steady current of the wire.' }],
        };
      }
    }
  },
});

const isProtected = (wire: Conductor): boolean => PROTECTORS.some((one) => wire[one]);

export const wireOverloaded: Check = engineCheck({
  id: 'wire-overloaded',
  severity: 'warning',
  title: 'Current too high for wire',
  page: {
    catches:
      'A wire without a fuse or breaker that carries more than its gauge can carry in a bundle. The current of a protected wire is limited by its fuse.',
    why: 'Nothing opens the circuit, so the wire heats up until its insulation and that of its neighbours melts.',
    example: 'wires: { 2: { circuit: ground, gauge: 22 AWG, length: 1 m, current: 20 A } }',
    remedy: 'Use a thicker wire, or share the current between several wires.',
    basis:
      'FAA AC 43.13-1B table 11-9: copper wire at 70 °C ambient in a bundle of 33 or more wires. That aircraft wire is rated for 150 °C is common practice, no source.',
  },
  settings: {
    insulation: {
      kind: 'temperature',
      value: '150 °C',
      meaning: 'Temperature rating of the insulation: the table has columns for 105 °C, 150 °C and 200 °C.',
    },
  },
  *find({ installation: { configuration } }, { insulation }) {
    for (const one of harnessConductors(configuration)) {
      const { gauge, current } = one;
      const limit = gauge && bundledCurrent(gauge.canonical, insulation);
      if (!current || limit === undefined || isProtected(one) || !passes(current.canonical, limit)) continue;
      yield {
        at: current.node,
        message: `This wire carries ${current.node.text} without a fuse or breaker; ${gauge!.node.text} carries ${formatQuantity(limit, 'A')} in a bundle.`,
        related: [{ at: gauge!.node, message: 'The gauge of the wire.' }],
      };
    }
  },
});

/** The conductors at the supply, and the wires that a relay output feeds. */
function supplyConductors(configuration: EngineConfiguration): readonly FeedConductor[] {
  const relays = new Set(outputsThatDrive(configuration, 'relay').map(({ name }) => name));
  const relayed = harnessWires(configuration).filter(
    ({ wire: { circuit } }) => circuit && relays.has(circuit.text),
  );
  return [...conductorsAt(configuration, 'supply'), ...relayed.map(feedWire)];
}

export const supplyWireUnfused: Check = engineCheck({
  id: 'supply-wire-unfused',
  severity: 'warning',
  title: 'Supply wire without fuse',
  page: {
    catches:
      'A wire of the circuit `supply`, a circuit with the end `supply`, or a wire of the circuit of a relay output, without a fuse or breaker.',
    why: 'If the wire chafes through to the airframe, the battery drives hundreds of amperes through it and sets the bundle on fire.',
    example: 'wires: { 1: { circuit: supply, gauge: 16 AWG, length: 1.4 m, current: 9 A } }',
    remedy:
      'Fit a fuse or breaker at the source and write its rating. If one further upstream protects the wire, write that one.',
    basis:
      'FAA AC 43.13-1B section 11-48 (from memory): wires are protected by breakers or fuses close to the source of power.',
  },
  *find({ installation: { configuration } }) {
    for (const { conductor, label, node } of supplyConductors(configuration)) {
      if (isProtected(conductor)) continue;
      yield { at: node, message: `${label} is a supply wire without a fuse or breaker.` };
    }
  },
});

/** The sum of the steady currents; undefined if one is not stated. */
function totalCurrent(wires: readonly FeedConductor[]): number | undefined {
  const currents = wires.map(({ conductor }) => conductor.current?.canonical);
  return currents.reduce<number | undefined>(
    (sum, one) => (sum === undefined || one === undefined ? undefined : sum + one),
    0,
  );
}

export const groundReturnMissing: Check = engineCheck({
  id: 'ground-return-missing',
  severity: 'warning',
  title: 'Ground return missing',
  page: {
    catches:
      'A harness with supply wires but without a ground wire, or whose ground wires carry much less current than its supply wires bring.',
    why: 'The current returns through whatever else touches the engine: a control cable, a sensor ground or a shield, which overheats and shifts every sensor reading.',
    example:
      'wires:\n  1: { circuit: supply, gauge: 16 AWG, length: 1.4 m, current: 9 A, fuse: 10 A }   # and no wire with the circuit ground',
    remedy:
      'Add the ground wires with their currents. If a load returns through its own mounting, accept the finding with that reason.',
    basis:
      'The current into a circuit equals the current out of it. The margin is common practice, no source.',
  },
  settings: {
    share: {
      kind: 'ratio',
      value: '65 %',
      meaning: 'Share of the supply current for which the harness must have ground wires.',
    },
  },
  *find({ installation: { configuration } }, { share }) {
    const { harness } = configuration;
    const supply = conductorsAt(configuration, 'supply');
    const ground = conductorsAt(configuration, 'ground');
    const listed = harness?.circuits ?? harness?.connectors;
    if (!listed || supply.length === 0) return;
    const connectors = nodeOf(listed);
    if (ground.length === 0) {
      yield {
        at: keyNode(connectors),
        message: 'The harness has supply wires but no ground wire for the return current.',
      };
      return;
    }
    const [into, back] = [totalCurrent(supply), totalCurrent(ground)];
    if (!into || back === undefined || !passes(into * share, back)) return;
    yield {
      at: keyNode(connectors),
      message: `The supply wires bring ${formatQuantity(into, 'A')}, but the ground wires carry only ${formatQuantity(back, 'A')} back, ${percent(back / into, 2)}; the limit is ${percent(share, 2)}.`,
      related: ground.map(({ node }) => ({ at: node, message: 'A ground wire.' })),
    };
  },
});
