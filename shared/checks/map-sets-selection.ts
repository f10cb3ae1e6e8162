import { eachReading } from '../configuration/readings.ts';
import { nodeOf, nodesOf } from '../configuration/values.ts';
import { mapSetChanges, twinsAmong } from '../derived/map-sets.ts';
import { groupedBy } from '../grouped-by.ts';
import { MOST_MAP_SETS } from '../proof/proof.ts';
import { keyNode } from '../source/source-file.ts';
import { type Node, pathOf } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { nearestName } from './protection-names.ts';
import { listed } from './words.ts';

export { tablePasted } from './map-sets-copies.ts';

const setsOf = ({ installation: { configuration } }: EngineSubject) =>
  Object.entries(configuration.map_sets?.sets ?? {}).filter(([, set]) => nodesOf(set ?? {}).length > 0);

export const mapSetUnknown: Check = engineCheck({
  id: 'map-set-unknown',
  severity: 'error',
  title: 'Unknown map set in operating point',
  page: {
    catches: 'An operating point whose `map_set` is not defined under `map_sets.sets`.',
    why: 'The operating point is computed without a map set, so its values belong to a different engine from the one that the pilot selects.',
    example:
      'map_sets: { sets: { tow: { when: open } } }\noperating_points:\n  take_off: { speed: 5500 rpm, pressure_altitude: 0 ft, map_set: towing }',
    remedy:
      'Write the name as in `map_sets.sets`, or remove the key for an operating point without a map set.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const names = setsOf(subject).map(([name]) => name);
    const known = new Set(names);
    for (const named of namedByPointsEach(subject.read, undefined)) {
      if (known.has(named.text)) continue;
      const there = names.length > 0 ? `has ${listed(names.map(quote))}` : 'has no map sets';
      yield {
        at: named.node,
        message: `Map set ${quote(named.text)} does not exist; the file ${there}.`,
        fixes: nearestName(named.node, names),
      };
    }
  },
});

const namedByPointsEach = eachReading(['text'], ({ node, shape, value }) =>
  shape.names === 'map set' && pathOf(node)[0] === 'operating_points' ? [value] : [],
);

export const mapSetChangesNothing: Check = engineCheck({
  id: 'map-set-changes-nothing',
  severity: 'warning',
  title: 'Map set changes nothing',
  page: {
    catches:
      'A map set in which all values under `apply` equal those outside the map sets, whatever their spelling.',
    why: 'The switch has no effect, although the map set was written to change something. It is usually a copy whose changes were forgotten.',
    example:
      'boost: { overboost_cut: 160 kPa abs }\nmap_sets:\n  sets:\n    ferry: { when: closed, apply: { boost: { overboost_cut: 1.6 bar abs } } }',
    remedy:
      'Write the values that the map set must change, or remove `apply` if it is intended to change nothing.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const changes = groupedBy(mapSetChanges(subject.installation), (change) => change.set);
    for (const [name, set] of setsOf(subject)) {
      const own = changes.get(name) ?? [];
      if (own.length === 0 || own.some((change) => change.changes)) continue;
      yield {
        at: nodeOf(set.apply!),
        message: `Map set ${quote(name)} repeats ${listed(own.map(({ path }) => quote(path)))} with the same ${own.length === 1 ? 'value' : 'values'} and changes nothing.`,
      };
    }
  },
});

export const identicalSets: Check = engineCheck({
  id: 'identical-sets',
  severity: 'warning',
  title: 'Identical map sets',
  page: {
    catches: 'Two map sets that make the same changes, or that both change nothing.',
    why: 'The pilot turns the switch and gets the same engine, although the panel promises a difference.',
    example:
      'map_sets:\n  selector: mode_switch\n  sets:\n    tow: { when: open }\n    ferry: { when: closed }',
    remedy: 'Write what distinguishes the two, or remove one.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const sets = setsOf(subject);
    const twins = twinsAmong(
      mapSetChanges(subject.installation),
      sets.map(([name]) => name),
    );
    for (const [name, set] of sets) {
      const twin = twins.get(name);
      if (twin === undefined) continue;
      const [node, other] = [nodeOf(set), nodeOf(subject.installation.configuration.map_sets!.sets![twin]!)];
      yield {
        at: keyNode(node),
        message: `Map set ${quote(name)} has the same effect as ${quote(twin)}.`,
        related: [{ at: other, message: `Map set ${quote(twin)}.` }],
      };
    }
  },
});

export const selectorMissing: Check = engineCheck({
  id: 'selector-missing',
  severity: 'error',
  title: 'Map set selector missing',
  page: {
    catches: 'Map sets without a `selector`, or with one that is not defined under `inputs`.',
    why: 'Without a switch the controller cannot know which map set is active.',
    example: 'map_sets:\n  sets:\n    tow: { when: open }\n    ferry: { when: closed, apply: { ... } }',
    remedy: 'Write the name of the panel switch as in `inputs`.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const { map_sets: section, inputs } = subject.installation.configuration;
    if (!section || setsOf(subject).length === 0) return;
    const { selector } = section;
    if (!selector) {
      if (nodesOf(section).some((layer) => layer.entry('selector'))) return;
      yield {
        at: nodeOf(section),
        message: `\`map_sets.selector\` is missing, so no switch selects among the map sets (${listed(setsOf(subject).map(([name]) => quote(name)))}).`,
      };
      return;
    }
    if (Object.hasOwn(inputs ?? {}, selector.text)) return;
    yield {
      at: selector.node,
      message: `Input ${quote(selector.text)} does not exist, so no switch selects the map set.`,
      fixes: nearestName(selector.node, Object.keys(inputs ?? {})),
    };
  },
});

export const mapSetPositionShared: Check = engineCheck({
  id: 'map-set-position-shared',
  severity: 'error',
  title: 'Map sets share a switch position',
  page: {
    catches: 'Two map sets with the same `when`.',
    why: 'Both map sets would be active at once, or one of them never. It is undefined which one the engine runs on.',
    example: 'map_sets:\n  sets:\n    tow: { when: closed }\n    ferry: { when: closed, apply: { ... } }',
    remedy: 'Give each map set its own position.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const sets = setsOf(subject);
    const free = ['open', 'closed'].filter((position) =>
      sets.every(([, set]) => set.when?.text !== position),
    );
    const taken = new Map<string, readonly [name: string, node: Node]>();
    for (const [name, { when }] of sets) {
      if (!when) continue;
      const first = taken.get(when.text);
      if (!first) {
        taken.set(when.text, [name, when.node]);
        continue;
      }
      yield {
        at: when.node,
        message: `Map sets ${quote(first[0])} and ${quote(name)} are both active in switch position ${quote(when.text)}.`,
        related: [{ at: first[1], message: `The position of ${quote(first[0])}.` }],
        fixes: free.map((position) => ({
          title: `Change the position of ${quote(name)} to ${quote(position)}`,
          safety: 'choice',
          edits: [{ span: when.node, text: position }],
        })),
      };
    }
  },
});

export const mapSetsNotProved: Check = engineCheck({
  id: 'map-sets-not-proved',
  severity: 'information',
  title: 'Map sets not checked fully',
  page: {
    catches: `More than ${MOST_MAP_SETS} map sets. Bounds over all states are computed only for the first ${MOST_MAP_SETS}.`,
    why: 'Limits in the other map sets are checked at operating points and map cells only, so a state beyond a limit may go unnoticed.',
    example: `map_sets: { sets: { a: ..., b: ... } }   # more than ${MOST_MAP_SETS}`,
    remedy:
      'Remove map sets that nothing selects, or move some of them to overlays, which are checked one by one.',
    basis: 'A limit of this program.',
  },
  *find(subject) {
    const sets = setsOf(subject);
    const first = sets[MOST_MAP_SETS]?.[1];
    if (!first) return;
    yield {
      at: nodeOf(first),
      message: `The file has ${sets.length} map sets; bounds cover only the first ${MOST_MAP_SETS}, so limits are not proved for this map set and those after it.`,
    };
  },
});
