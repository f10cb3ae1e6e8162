import type { EngineConfiguration } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { cylindersOf, outputsThatDrive } from '../derived/loads.ts';
import { keyOf } from '../source/source-file.ts';
import type { Node } from '../source/tree.ts';
import { type Check, engineCheck } from './check.ts';
import { listed } from './words.ts';

interface Coil {
  readonly name: string;
  /** Each once, in the order of the file. */
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
 * By cylinder the one that stands half the firing order apart, which an odd number of cylinders has nowhere; undefined
 * where the order tells nothing of pairs.
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
  title: 'A coil for two cylinders that are not a pair',
  page: {
    catches:
      'An ignition output for cylinders of a four-stroke engine with wasted spark that do not stand half the firing order apart.',
    why: 'Both plugs of such a coil spark at once. In a pair the second spark comes at the end of the exhaust stroke and is wasted; in any other cylinder it comes while charge is drawn in or compressed, lights it there, and blows it back into the manifold or against the piston.',
    example:
      'engine: { cylinders: 4, firing_order: [1, 3, 4, 2], ... }   # the pairs are 1 and 4, 2 and 3\noutputs:\n  ignition_1: { drives: ignition, cylinders: [1, 3], pin: C5 }',
    remedy: 'Name the two cylinders that come to top dead centre together, or correct the firing order.',
    basis: 'Even firing: half the order is 360 deg of the crankshaft.',
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
      const rule = pairs.size % 2 === 0 ? `the pairs are ${right.join(', ')}` : 'no two are a pair';
      yield {
        at,
        message: `${name} sparks in cylinders ${listed(cylinders.map(String))} at once; by the firing order ${[...pairs.keys()].join('-')} ${rule}.`,
        related: [{ at: engine!.firing_order!.node, message: 'The firing order.' }],
      };
    }
  },
});

export const ignitionOutputsDifferFromArrangement: Check = engineCheck({
  id: 'ignition-outputs-differ-from-arrangement',
  severity: 'error',
  title: 'Ignition outputs do not fit the arrangement',
  page: {
    catches:
      'An ignition output for several cylinders where the arrangement is one coil for each cylinder, or for some of the cylinders where a distributor has one coil for all.',
    why: 'How often a coil is charged follows from the arrangement. Where the wiring is another one, dwell is checked against twice the time that there is, or against half of it.',
    example:
      'ignition: { arrangement: per-cylinder, ... }\noutputs:\n  ignition_1: { drives: ignition, cylinders: [1, 4], pin: C5 }',
    remedy: 'Write the arrangement that is wired, or the cylinders that each output really fires.',
    basis: 'The meaning of the keys. Without an arrangement, one coil for each cylinder is taken.',
  },
  *find({ installation: { configuration } }) {
    const { ignition, engine } = configuration;
    const arrangement = ignition?.arrangement;
    const section = ignition && nodeOf(ignition);
    const count = engine?.cylinders?.canonical;
    if (!section || count === undefined) return;
    const about = arrangement?.text ?? 'per-cylinder, as none is stated';
    for (const { name, cylinders, at } of coils(configuration)) {
      const fits =
        arrangement?.text === 'wasted-spark' ||
        (arrangement?.text === 'distributor' ? cylinders.length >= count : cylinders.length === 1);
      if (fits) continue;
      yield {
        at,
        message: `${name} fires ${cylinders.length === 1 ? 'cylinder' : 'cylinders'} ${listed(cylinders.map(String))}; the arrangement is ${about}.`,
        related: [{ at: arrangement?.node ?? keyOf(section) ?? section, message: 'The arrangement.' }],
      };
    }
  },
});
