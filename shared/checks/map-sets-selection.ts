import { ofEachReading } from '../configuration/readings.ts';
import { nodeOf, nodesOf } from '../configuration/values.ts';
import { mapSetChanges, twinsAmong } from '../derived/map-sets.ts';
import { groupedBy } from '../grouped-by.ts';
import { keyOf } from '../source/source-file.ts';
import { type Node, pathOf } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { nearestName } from './protection-names.ts';
import { listed } from './words.ts';

const setsOf = ({ installation: { configuration } }: EngineSubject) =>
  Object.entries(configuration.map_sets?.sets ?? {}).filter(([, set]) => nodesOf(set ?? {}).length > 0);

export const mapSetUnknown: Check = engineCheck({
  id: 'map-set-unknown',
  severity: 'error',
  title: 'Operating point on a map set that is not there',
  page: {
    catches: 'An operating point whose `map_set` is none of the sets.',
    why: 'The point is computed with the base alone: every number beside it belongs to another engine than the one that the pilot selects.',
    example:
      'map_sets: { sets: { tow: { when: open } } }\noperating_points:\n  take_off: { speed: 5500 rpm, pressure_altitude: 0 ft, map_set: towing }',
    remedy: 'Write the name as it stands under `map_sets.sets`, or leave the key out for the base.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const names = setsOf(subject).map(([name]) => name);
    const known = new Set(names);
    for (const named of namedByPointsEach(subject.read, undefined)) {
      if (known.has(named.text)) continue;
      const there = names.length > 0 ? `There are ${listed(names.map(quote))}.` : 'The file has none.';
      yield {
        at: named.node,
        message: `No map set is called ${quote(named.text)}. ${there}`,
        fixes: nearestName(named.node, names),
      };
    }
  },
});

const namedByPointsEach = ofEachReading(['text'], ({ node, shape, value }) =>
  shape.names === 'map set' && pathOf(node)[0] === 'operating_points' ? [value] : [],
);

export const mapSetChangesNothing: Check = engineCheck({
  id: 'map-set-changes-nothing',
  severity: 'warning',
  title: 'Map set that changes nothing',
  page: {
    catches:
      'A set that writes values under `apply` which are all those of the base, spelled the same or otherwise.',
    why: 'Somebody meant this set to be another engine. A switch that moves nothing is mostly a copy whose changes were forgotten.',
    example:
      'boost: { overboost_cut: 160 kPa abs }\nmap_sets:\n  sets:\n    ferry: { when: closed, apply: { boost: { overboost_cut: 1.6 bar abs } } }',
    remedy: 'Write what the set is to change, or leave `apply` out where the set is the base as it stands.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    const changes = groupedBy(mapSetChanges(subject.installation), (change) => change.set);
    for (const [name, set] of setsOf(subject)) {
      const own = changes.get(name) ?? [];
      if (own.length === 0 || own.some((change) => change.changes)) continue;
      yield {
        at: nodeOf(set.apply!),
        message: `The map set ${name} repeats ${listed(own.map(({ path }) => quote(path)))} from the base and changes nothing.`,
      };
    }
  },
});

export const identicalSets: Check = engineCheck({
  id: 'identical-sets',
  severity: 'warning',
  title: 'Two map sets make the same engine',
  page: {
    catches: 'Two sets that change the same values to the same, or both nothing.',
    why: 'The pilot turns a switch and gets the same engine: the panel promises what the file does not hold.',
    example:
      'map_sets:\n  selector: mode_switch\n  sets:\n    tow: { when: open }\n    ferry: { when: closed }',
    remedy: 'Write what tells them apart, or take one out.',
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
        at: keyOf(node) ?? node,
        message: `The map set ${name} makes the same engine as ${twin}.`,
        related: [{ at: other, message: `The map set ${twin}.` }],
      };
    }
  },
});

export const selectorMissing: Check = engineCheck({
  id: 'selector-missing',
  severity: 'error',
  title: 'Nothing selects the map set',
  page: {
    catches: 'Map sets without a `selector`, or with one that is no switch under `inputs`.',
    why: 'Without a switch the controller can not know which set is in force.',
    example: 'map_sets:\n  sets:\n    tow: { when: open }\n    ferry: { when: closed, apply: { ... } }',
    remedy: 'Name the panel switch as it stands under `inputs`.',
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
        message: `No switch selects among ${listed(setsOf(subject).map(([name]) => name))}.`,
      };
      return;
    }
    if (Object.hasOwn(inputs ?? {}, selector.text)) return;
    yield {
      at: selector.node,
      message: `No input is called ${quote(selector.text)}: nothing selects the map set.`,
      fixes: nearestName(selector.node, Object.keys(inputs ?? {})),
    };
  },
});

export const mapSetPositionShared: Check = engineCheck({
  id: 'map-set-position-shared',
  severity: 'error',
  title: 'Two map sets at one position of the switch',
  page: {
    catches: 'Two sets with the same `when`.',
    why: 'Both would be in force at once, or one never: which engine runs is left to chance.',
    example: 'map_sets:\n  sets:\n    tow: { when: closed }\n    ferry: { when: closed, apply: { ... } }',
    remedy: 'Give each set a position of its own.',
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
        message: `The map sets ${first[0]} and ${name} are both in force with the switch ${when.text}.`,
        related: [{ at: first[1], message: `The position of ${first[0]}.` }],
        fixes: free.map((position) => ({
          title: `Put ${name} at ${quote(position)}`,
          safety: 'choice',
          edits: [{ span: when.node, text: position }],
        })),
      };
    }
  },
});
