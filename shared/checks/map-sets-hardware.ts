import { sameValue } from '../configuration/same-value.ts';
import { type Value, valueAtPath } from '../configuration/values.ts';
import { sourceText } from '../source/tree.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';

/** What is bolted on, by its key path: no switch changes it. */
const HARDWARE: readonly string[] = [
  'engine.layout',
  'engine.cylinders',
  'engine.cycle',
  'engine.bore',
  'engine.stroke',
  'engine.compression_ratio',
  'engine.firing_order',
  'engine.reduction_ratio',
  'fuel.rail.regulator',
  'fuel.injectors.per_cylinder',
  'fuel.injectors.static_flow',
  'fuel.injectors.rated_pressure',
  'fuel.injectors.test_fluid_density',
  'fuel.injectors.resistance',
  'ignition.plugs_per_cylinder',
  'ignition.system',
  'ignition.arrangement',
  'ignition.coil.primary_resistance',
  'ignition.coil.primary_inductance',
];

/** A value as it is written; a list in brackets, as one that has a line for each item would break the sentence. */
const onOneLine = ({ node }: Value): string =>
  node.type === 'sequence' ? `[${node.items.map(sourceText).join(', ')}]` : sourceText(node);

export const mapSetChangesHardware: Check = engineCheck({
  id: 'map-set-changes-hardware',
  severity: 'error',
  title: 'A map set changes what is bolted on',
  page: {
    catches:
      'A map set that gives the engine another bore, firing order, injector, coil or kind of ignition: what a switch on the panel cannot change.',
    why: 'What is computed for the set belongs to an engine that is not there. In the real one each pulse and each spark of the set is wrong.',
    example:
      'map_sets:\n  sets:\n    ferry: { when: closed, apply: { fuel: { injectors: { static_flow: 450 cc/min } } } }   # the injectors are the same',
    remedy: 'Take it out of the set. What the engine has is written once, in the file itself.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration: base, engines } }): Generator<Found> {
    for (const { mapSet, configuration } of engines) {
      for (const path of HARDWARE) {
        const steps = path.split('.');
        const [own, before] = [valueAtPath(configuration, steps), valueAtPath(base, steps)];
        if (mapSet === undefined || !own || own === before || sameValue(own, before)) continue;
        const [text, old] = [onOneLine(own), before && onOneLine(before)];
        yield {
          at: own.node,
          message: `The map set ${mapSet} changes ${quote(path)}${old === undefined ? '' : ` from ${old}`} to ${text}; a switch cannot.`,
          related: before ? [{ at: before.node, message: 'What the engine has.' }] : [],
        };
      }
    }
  },
});
