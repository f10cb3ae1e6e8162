import type { EngineConfiguration } from '../../generated/configuration.ts';
import { nodeOf, nodesOf } from '../configuration/values.ts';
import { cylindersOf, outputsThatDrive } from '../derived/loads.ts';
import { keyNode } from '../source/source-file.ts';
import type { Node } from '../source/tree.ts';
import { type Check, engineCheck } from './check.ts';
import { listed } from './words.ts';

interface Coil {
  readonly name: string;
  /** Without repetitions, in the order of the file. */
  readonly cylinders: readonly number[];
  readonly at: Node;
}

/** The ignition outputs that name cylinders. */
function coils(configuration: EngineConfiguration): Coil[] {
  return outputsThatDrive(configuration, 'ignition').flatMap(({ name, output }) => {
    const cylinders = [...new Set(cylindersOf(output))];
    const node = output.cylinders?.node ?? output.cylinder?.node ?? nodeOf(output);
    return cylinders.length > 0 ? [{ name, cylinders, at: node }] : [];
  });
}

/**
 * The cylinder half the firing order away from each cylinder; with an odd number of cylinders there is none. Undefined if
 * the firing order does not determine pairs.
 */
function companions({ engine }: EngineConfiguration): Map<number, number | undefined> | undefined {
  const { firing_order: written, cylinders, cycle } = engine ?? {};
  const order = written?.items.map(({ canonical }) => canonical) ?? [];
  const half = order.length / 2;
  const isWhole = order.length === cylinders?.canonical && new Set(order).size === order.length;
  if (!isWhole || cycle?.text !== 'four-stroke') return undefined;
  return new Map(order.map((cylinder, i) => [cylinder, order[(i + half) % order.length]]));
}

export const wastedSparkPairWrong: Check = engineCheck({
  id: 'wasted-spark-pair-wrong',
  severity: 'error',
  title: 'Wasted-spark cylinders not a pair',
  page: {
    catches:
      'An ignition output of a four-stroke engine with wasted spark that fires cylinders that are not half the firing order apart.',
    why: 'All plugs of such a coil spark at once. In a pair the second spark comes at the end of the exhaust stroke and is wasted. In any other cylinder it comes during intake or compression, ignites the charge, and drives it back into the manifold or against the piston.',
    example:
      'engine: { cylinders: 4, firing_order: [1, 3, 4, 2], ... }   # the pairs are 1 and 4, 2 and 3\noutputs:\n  ignition_1: { drives: ignition, cylinders: [1, 3], pin: C5 }',
    remedy: 'Name the two cylinders that reach top dead centre together, or correct the firing order.',
    basis: 'With even firing, half the firing order is 360 deg of crankshaft rotation.',
  },
  *find({ installation: { configuration } }) {
    const { engine, ignition } = configuration;
    const pairs = companions(configuration);
    if (ignition?.arrangement?.text !== 'wasted-spark' || !pairs) return;
    for (const { name, cylinders, at } of coils(configuration)) {
      const [one, other, ...more] = cylinders;
      if (other === undefined || !cylinders.every((cylinder) => pairs.has(cylinder))) continue;
      if (more.length === 0 && pairs.get(one!) === other) continue;
      const right = [...pairs].slice(0, pairs.size / 2).map(([a, b]) => `${a} and ${b}`);
      const rule = pairs.size % 2 === 0 ? `the pairs are ${right.join(', ')}` : 'no two cylinders are a pair';
      yield {
        at,
        message: `\`${name}\` fires cylinders ${listed(cylinders.map(String))} together, but with firing order ${[...pairs.keys()].join('-')} ${rule}.`,
        related: [{ at: engine!.firing_order!.node, message: 'The firing order.' }],
      };
    }
  },
});

export const ignitionOutputsDifferFromArrangement: Check = engineCheck({
  id: 'ignition-outputs-differ-from-arrangement',
  severity: 'error',
  title: 'Ignition output does not match arrangement',
  page: {
    catches:
      'An ignition output for several cylinders although the arrangement is one coil per cylinder, or for only some of the cylinders although a distributor serves all of them with one coil.',
    why: 'The arrangement determines how often a coil is charged. If the wiring differs, dwell is checked against twice or half the time available.',
    example:
      'ignition: { arrangement: per-cylinder, ... }\noutputs:\n  ignition_1: { drives: ignition, cylinders: [1, 4], pin: C5 }',
    remedy: 'Write the arrangement that is wired, or the cylinders that each output really fires.',
    basis: 'The meaning of the keys. Without an arrangement, one coil per cylinder is assumed.',
  },
  *find({ installation: { configuration } }) {
    const { ignition, engine } = configuration;
    const arrangement = ignition?.arrangement;
    const section = ignition && nodeOf(ignition);
    const count = engine?.cylinders?.canonical;
    if (!section || count === undefined) return;
    const about = arrangement
      ? `the arrangement is \`${arrangement.text}\``
      : 'no arrangement is stated, so `per-cylinder` is assumed';
    for (const { name, cylinders, at } of coils(configuration)) {
      const fits =
        arrangement?.text === 'wasted-spark' ||
        (arrangement?.text === 'distributor' ? cylinders.length >= count : cylinders.length === 1);
      if (fits) continue;
      yield {
        at,
        message: `\`${name}\` fires ${cylinders.length === 1 ? 'cylinder' : 'cylinders'} ${listed(cylinders.map(String))}, but ${about}.`,
        related: [{ at: arrangement?.node ?? keyNode(section), message: 'The arrangement.' }],
      };
    }
  },
});

export const dwellMissing: Check = engineCheck({
  id: 'dwell-missing',
  severity: 'warning',
  title: 'Dwell missing',
  page: {
    catches: 'An ignition with `system: inductive` and outputs that drive it, but without a dwell curve.',
    why: 'The controller charges an inductive coil for the time in the dwell curve. Without one nothing says how long: the spark is weak, or the coil overheats.',
    example: 'ignition: { system: inductive, arrangement: per-cylinder, ... }   # and no dwell',
    remedy:
      'Add the dwell curve from the data of the coil, or write `system: capacitive` if that is what is fitted.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const { system } = configuration.ignition ?? {};
      if (system?.text !== 'inductive' || outputsThatDrive(configuration, 'ignition').length === 0) continue;
      // A curve that cannot be read has a finding of its own.
      if (nodesOf(configuration.ignition!).some((layer) => layer.entry('dwell'))) continue;
      yield {
        at: system.node,
        message: 'An inductive ignition needs a `dwell` curve, and this one has none.',
      };
      return;
    }
  },
});
