import type { MissingKey } from '../configuration/binding-fault.ts';
import { type CommaSplit, commaSplits } from '../configuration/comma.ts';
import { childShape, type Shape, shapeAt } from '../configuration/shape.ts';
import { groupedBy } from '../grouped-by.ts';
import { isSameWord, nearestWord } from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import { type Entry, type MappingNode, pathOf, pathText, type ScalarNode } from '../source/tree.ts';
import { type Fix, fileCheck, type Subject } from './check.ts';
import { skeleton } from './form-skeleton.ts';
import {
  firstSentence,
  listOf,
  nameOf,
  numberWithComma,
  PLACEHOLDER,
  quote,
  renaming,
  repeatedFinding,
  withinSentence,
} from './form-words.ts';

/** A message lists at most this many known keys. */
const MOST_LISTED = 10;
/** The one version of the format so far, of each kind of file. */
const VERSION = 1;
const VERSION_KEYS = ['enginefile', 'controllerfile', 'runfile'];

export const unknownKey = fileCheck({
  id: 'unknown-key',
  severity: 'error',
  title: 'Unknown key',
  page: {
    catches:
      'A key that its section does not have: a typing error, or a key that belongs to another section.',
    why:
      'A value under a wrong key is not used. The engine would run on a default value, or without a limit that its calibrator ' +
      'believes to be set.',
    example: 'engine:\n  maximum_sped: 5800 rpm',
    remedy:
      'Rename the key to the nearest known one, or move the value to the section that has the key. Write notes as comments.',
    basis: 'The file format: a section with fixed keys has no others.',
  },
  *find(subject) {
    const known = new Map<MappingNode, Closed | undefined>();
    const homesOf = homesOfKeys(subject.rootShape);
    for (const fault of subject.structure) {
      if (fault.type !== 'unknown-key') continue;
      const { key, mapping, repeated } = fault;
      if (repeated) {
        yield repeatedFinding(repeated, `cannot have the key ${quote(key.text)}`, key);
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
      const fixes = renaming(entry, nearest, safety);
      const message = `Unknown key ${quote(key.text)} in ${closed.name}${hint(nearest, homesOf(key.text), closed.open)}.`;
      yield { at: key, message, fixes };
    }
  },
});

/** What all unknown keys of a mapping share; there may be thousands. */
interface Closed {
  readonly name: string;
  /** The known keys that it does not contain. */
  readonly open: readonly string[];
  readonly entries: ReadonlyMap<ScalarNode, Entry>;
  /** Numbers split by a decimal comma, by the key that the part after the comma was parsed as. */
  readonly splits: ReadonlyMap<ScalarNode, CommaSplit>;
}

function closedOf(mapping: MappingNode, { rootShape }: Subject): Closed | undefined {
  const shape = shapeAt(rootShape, pathOf(mapping));
  return (
    shape && {
      name: nameOf(mapping),
      open: [...shape.properties.keys()].filter((name) => !mapping.entry(name)),
      entries: new Map(mapping.entries.map((entry) => [entry.key, entry])),
      splits: new Map(commaSplits(mapping).map((split) => [split.last, split])),
    }
  );
}

function hint(nearest: string | undefined, homes: readonly string[], open: readonly string[]): string {
  if (nearest) return `; the nearest known key is ${quote(nearest)}`;
  if (homes.length > 0) return `; it belongs to ${listOf(homes.slice(0, 3).map(quote), 'or')}`;
  if (open.length === 0 || open.length > MOST_LISTED) return '';
  return `; known keys that are not set: ${listOf(open.map(quote), 'and')}`;
}

/** Returns the paths of the sections that have a key of this name. */
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
  title: 'Required key missing',
  page: {
    catches:
      'A section without a key that it requires. A key that the base file of an overlay has is not missing.',
    why:
      'Values that depend on the key cannot be computed or checked. Without the bore there is no finding about air, fuel or ' +
      'power, and no default value would be right.',
    example: 'engine:\n  cylinders: 4\n  stroke: 71.5 mm',
    remedy:
      `Add the key. The fix inserts it with its unit and the placeholder ${quote(PLACEHOLDER)} for each value. Each placeholder ` +
      'remains a finding until you fill it in.',
    basis: 'The file format: the keys that the basic calculation requires.',
  },
  *find(subject) {
    if (isUnknowable(subject)) return;
    for (const fault of subject.binding) {
      // A missing unit of a table has its own check.
      if (fault.type !== 'missing-key' || fault.shape.unitOf) continue;
      const { mapping, key, shape } = fault;
      const message = missingMessage(mapping, key, firstSentence(shape.description));
      yield { at: mapping, message, fixes: [insertion(fault, parentShape(subject, mapping))] };
    }
  },
});

/** `` `engine.bore` is missing (cylinder bore). `` */
function missingMessage(mapping: MappingNode, key: string, description: string): string {
  const meaning = withinSentence(description);
  return `${quote(pathText([...pathOf(mapping), key]))} is missing${meaning && ` (${meaning})`}.`;
}

/**
 * Without its base file, or without any readable section, missing keys cannot be determined; that has its own finding.
 */
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
  const isOne = value.line.split(PLACEHOLDER).length === 2 && !value.block;
  const title = isVersion
    ? `Add ${quote(`${key}: ${VERSION}`)}`
    : `Add ${quote(key)} with ${isOne ? 'a placeholder' : 'placeholders'}${unit && ` (${unit})`}`;
  return {
    title,
    safety: isVersion ? 'safe' : 'choice',
    edits: [insertEntry(mapping, key, value, predecessor(mapping, key, parent))],
  };
}

/** The entry after which the new key goes: the last one that the schema lists before it. */
function predecessor(mapping: MappingNode, key: string, parent: Shape | undefined) {
  const order = [...(parent?.properties.keys() ?? [])];
  const before = order.slice(0, order.indexOf(key)).reverse();
  const name = before.find((earlier) => mapping.entry(earlier));
  return name === undefined ? undefined : mapping.entry(name);
}

export const versionUnsupported = fileCheck({
  id: 'version-unsupported',
  severity: 'error',
  title: 'Unsupported format version',
  page: {
    catches: `A file whose ${listOf(VERSION_KEYS.map(quote), 'or')} is not ${VERSION}.`,
    why: 'Keys may have another meaning in another version, so the values may be read wrongly.',
    example: 'enginefile: 2',
    remedy: `Change the version to ${VERSION} if the file has that format, or use a release that supports its version.`,
    basis: 'The file format.',
  },
  *find({ file, rootShape }) {
    for (const key of VERSION_KEYS) {
      const node = childShape(rootShape, key) && file.root.get(key);
      if (node?.type !== 'scalar' || typeof node.value !== 'number' || node.value === VERSION) continue;
      yield {
        at: node,
        message: `${quote(key)} is ${node.text}; only version ${VERSION} is supported.`,
        fixes: [
          {
            title: `Change to ${VERSION}`,
            safety: 'choice',
            edits: [replace(node, String(VERSION))],
          },
        ],
      };
    }
  },
});
