import { sameValue } from '../configuration/same-value.ts';
import { type Value, valueAtPath } from '../configuration/values.ts';
import { sourceText } from '../source/tree.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';

/** The key paths of hardware, which no switch can change. */
const HARDWARE: readonly string[] = [
  'engine.layout',
  'engine.cylinders',
  'engine.cycle',
  'engine.bore',
  'engine.stroke',
  'engine.compression_ratio',
  'engine.firing_order',
  'engine.firing_intervals',
  'engine.reduction_ratio',
  'fuel.rail.regulator',
  'fuel.injectors.per_cylinder',
  'fuel.injectors.static_flow',
  'fuel.injectors.rated_pressure',
  'fuel.injectors.test_fluid_density',
  'fuel.injectors.resistance',
  'ignition.plugs_per_cylinder',
  'ignition.circuits',
  'ignition.system',
  'ignition.arrangement',
  'ignition.coil.primary_resistance',
  'ignition.coil.primary_inductance',
];

/** A value as written in the file, but a list always in brackets on one line. */
const onOneLine = ({ node }: Value): string =>
  node.type === 'sequence' ? `[${node.items.map(sourceText).join(', ')}]` : sourceText(node);

export const mapSetChangesHardware: Check = engineCheck({
  id: 'map-set-changes-hardware',
  severity: 'error',
  title: 'Map set changes hardware',
  page: {
    catches:
      'A map set that changes hardware, which a panel switch cannot do: bore, firing order, injectors, coils, kind of ignition and the like.',
    why: 'The values computed for the map set belong to an engine that does not exist. On the real engine, every pulse and every spark of the map set is wrong.',
    example:
      'map_sets:\n  sets:\n    ferry: { when: closed, apply: { fuel: { injectors: { static_flow: 450 cc/min } } } }   # the injectors stay the same',
    remedy: 'Remove the key from the map set. Write hardware once, outside the map sets.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration: base, engines } }): Generator<Found> {
    for (const { mapSet, configuration } of engines) {
      for (const path of HARDWARE) {
        const steps = path.split('.');
        const [own, before] = [valueAtPath(configuration, steps), valueAtPath(base, steps)];
        if (mapSet === undefined || !own || own === before || sameValue(own, before)) continue;
        const text = onOneLine(own);
        const change = before
          ? `changes ${quote(path)} from ${onOneLine(before)} to ${text}`
          : `sets ${quote(path)} to ${text}`;
        yield {
          at: own.node,
          message: `Map set ${quote(mapSet)} ${change}, but a switch cannot change hardware.`,
          related: before ? [{ at: before.node, message: 'The value outside the map sets.' }] : [],
        };
      }
    }
  },
});
