import type { MissingKey } from '../configuration/binding-fault.ts';
import { type CommaSplit, commaSplits } from '../configuration/comma.ts';
import { childShape, type Shape, shapeAt } from '../configuration/shape.ts';
import { groupedBy } from '../grouped-by.ts';
import { isSameWord, nearestWord } from '../quantity/index.ts';
import { insertEntry, renameKey, replace } from '../source/edit.ts';
import { type Entry, type MappingNode, pathOf, pathText, type ScalarNode } from '../source/tree.ts';
import { type Fix, fileCheck, type Subject } from './check.ts';
import { skeleton } from './form-skeleton.ts';
import {
  capital,
  firstSentence,
  listOf,
  nameOf,
  numberWithComma,
  PLACEHOLDER,
  quote,
  repeatedFinding,
} from './form-words.ts';

/** More known keys than this are not listed in a message. */
const MOST_LISTED = 10;
/** The one version of the format so far, of both kinds of file. */
const VERSION = 1;
const VERSION_KEYS = ['enginefile', 'controllerfile'];

export const unknownKey = fileCheck({
  id: 'unknown-key',
  severity: 'error',
  title: 'A key that its section does not have',
  page: {
    catches: 'A key that means nothing in its section: a slip of the pen, or a key that belongs elsewhere.',
    why:
      'A value under a wrong name is a value that is not there. The engine would run on a default, or without a limit ' +
      'that its calibrator believes to be set.',
    example: 'engine:\n  maximum_sped: 5800 rpm',
    remedy:
      'Take the nearest known key, or move the value to the section that has the key. Notes belong in comments.',
    basis: 'The format of the file: every section with fixed keys is closed.',
  },
  *find(subject) {
    const known = new Map<MappingNode, Closed | undefined>();
    const homesOf = homesOfKeys(subject.rootShape);
    for (const fault of subject.structure) {
      if (fault.type !== 'unknown-key') continue;
      const { key, mapping, repeated } = fault;
      if (repeated) {
        yield repeatedFinding(repeated, `has no key ${quote(key.text)}`, key);
        continue;
      }
      if (!known.has(mapping)) known.set(mapping, closedOf(mapping, subject));
      const closed = known.get(mapping);
      const entry = closed?.entries.get(key);
      if (!closed || !entry) continue;
      const comma = closed.splits.get(key);
      if (comma) {
        yield { at: key, ...numberWithComma(comma) };
        continue;
      }
      const nearest = nearestWord(key.text, closed.open);
      const safety = nearest && isSameWord(nearest, key.text) ? 'safe' : 'choice';
      const fixes: Fix[] = nearest
        ? [{ title: `Rename to ${quote(nearest)}`, safety, edits: [renameKey(entry, nearest)] }]
        : [];
      const message = `${closed.name} has no key ${quote(key.text)}${hint(nearest, homesOf(key.text), closed.open)}.`;
      yield { at: key, message, fixes };
    }
  },
});

/** A mapping with fixed keys, as far as it is the same for each of its unknown keys, which may be thousands. */
interface Closed {
  readonly name: string;
  /** The keys that it could have and has not. */
  readonly open: readonly string[];
  readonly entries: ReadonlyMap<ScalarNode, Entry>;
  /** By the key that the part behind a comma became. */
  readonly splits: ReadonlyMap<ScalarNode, CommaSplit>;
}

function closedOf(mapping: MappingNode, { rootShape }: Subject): Closed | undefined {
  const shape = shapeAt(rootShape, pathOf(mapping));
  return (
    shape && {
      name: capital(nameOf(mapping)),
      open: [...shape.properties.keys()].filter((name) => !mapping.entry(name)),
      entries: new Map(mapping.entries.map((entry) => [entry.key, entry])),
      splits: new Map(commaSplits(mapping).map((split) => [split.last, split])),
    }
  );
}

function hint(nearest: string | undefined, homes: readonly string[], open: readonly string[]): string {
  if (nearest) return `; ${quote(nearest)} is the nearest that it has`;
  if (homes.length > 0) return `; it belongs in ${listOf(homes.slice(0, 3).map(quote), 'or')}`;
  if (open.length === 0 || open.length > MOST_LISTED) return '';
  return `; it could have ${listOf(open.map(quote), 'or')}`;
}

/** Gives the paths of the sections with fixed names that have a key of a name. */
function homesOfKeys(root: Shape): (key: string) => readonly string[] {
  let homes: Map<string, Home[]> | undefined;
  return (key) => {
    homes ??= groupedBy(keysBelow(root), (home) => home.key);
    return homes.get(key)?.map(({ section }) => section) ?? [];
  };
}

/** A key, and the path of a section that has it. */
interface Home {
  readonly key: string;
  readonly section: string;
}

/** The keys of sections up to three levels deep. */
function keysBelow(shape: Shape, path: readonly string[] = []): Home[] {
  if (shape.table) return [];
  const section = pathText(path);
  const own = path.length === 0 ? [] : [...shape.properties.keys()].map((key) => ({ key, section }));
  if (path.length > 2) return own;
  return [...own, ...[...shape.properties].flatMap(([name, child]) => keysBelow(child, [...path, name]))];
}

export const missingKey = fileCheck({
  id: 'missing-key',
  severity: 'error',
  title: 'A key without which nothing can be computed',
  page: {
    catches:
      'A section without a key that it needs. In an overlay the base counts too: only what neither has is missing.',
    why:
      'What cannot be computed is not checked. A missing bore hides every finding about air, fuel and power behind it, and no ' +
      'default would be honest.',
    example: 'engine:\n  cylinders: 4\n  stroke: 71.5 mm',
    remedy:
      `Write the key. The fix inserts it with its unit and ${quote(PLACEHOLDER)} for each value; a value is never made up, ` +
      'so what is still to be filled in remains a finding.',
    basis: 'The format of the file: the keys that the core calculation needs.',
  },
  *find(subject) {
    if (isUnknowable(subject)) return;
    for (const fault of subject.binding) {
      // A unit that is missing from a table is a missing unit, and has its own check.
      if (fault.type !== 'missing-key' || fault.shape.unitOf) continue;
      const { mapping, key, shape } = fault;
      const meaning = firstSentence(shape.description);
      const message = `${capital(nameOf(mapping))} lacks ${quote(key)}. ${meaning}`.trim();
      yield { at: mapping, message, fixes: [insertion(fault, parentShape(subject, mapping))] };
    }
  },
});

/** Without its base, or with a text that holds no section at all, what a file lacks cannot be told; that is said already. */
function isUnknowable({ file, syntax, links }: Subject): boolean {
  if (links.some(({ rule }) => rule === 'overlay-file-missing' || rule === 'overlay-cycle')) return true;
  const base = file.root.get('based_on');
  if (base && !(base.type === 'scalar' && typeof base.value === 'string')) return true;
  return file.root.entries.length === 0 && syntax.length > 0;
}

function parentShape(subject: Subject, mapping: MappingNode): Shape | undefined {
  return shapeAt(subject.rootShape, pathOf(mapping));
}

function insertion({ mapping, key, shape }: MissingKey, parent: Shape | undefined): Fix {
  const isVersion = VERSION_KEYS.includes(key);
  const value = isVersion ? { line: String(VERSION) } : skeleton(shape, parent, key);
  const unit = shape.quantity ? value.line.replace(PLACEHOLDER, '').trim() : '';
  const title = isVersion
    ? `Insert ${quote(`${key}: ${VERSION}`)}`
    : `Insert ${quote(`${key}:`)} to fill in${unit && ` (${unit})`}`;
  return {
    title,
    safety: isVersion ? 'safe' : 'choice',
    edits: [insertEntry(mapping, key, value, predecessor(mapping, key, parent))],
  };
}

/** The entry that the new key goes behind: the last of those that the schema lists before it, else none. */
function predecessor(mapping: MappingNode, key: string, parent: Shape | undefined) {
  const order = [...(parent?.properties.keys() ?? [])];
  const before = order.slice(0, order.indexOf(key)).reverse();
  const name = before.find((earlier) => mapping.entry(earlier));
  return name === undefined ? undefined : mapping.entry(name);
}

export const versionUnsupported = fileCheck({
  id: 'version-unsupported',
  severity: 'error',
  title: 'A version of the format that is not known here',
  page: {
    catches: `A file whose ${listOf(VERSION_KEYS.map(quote), 'or')} is not ${VERSION}.`,
    why: 'Another version may give the same key another meaning. Its numbers cannot be trusted as they are read here.',
    example: 'enginefile: 2',
    remedy: `Write version ${VERSION} if the file is one, or read it with a release that knows its version.`,
    basis: 'The format of the file.',
  },
  *find({ file, rootShape }) {
    for (const key of VERSION_KEYS) {
      const node = childShape(rootShape, key) && file.root.get(key);
      if (node?.type !== 'scalar' || typeof node.value !== 'number' || node.value === VERSION) continue;
      yield {
        at: node,
        message: `${quote(key)} is ${node.text}; only version ${VERSION} is known here.`,
        fixes: [
          {
            title: `Write ${quote(String(VERSION))}`,
            safety: 'choice',
            edits: [replace(node, String(VERSION))],
          },
        ],
      };
    }
  },
});
