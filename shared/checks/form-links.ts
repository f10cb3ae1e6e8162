import { capital } from '../capital.ts';
import { isLeaf } from '../configuration/bind.ts';
import type { LinkFault } from '../configuration/installation.ts';
import { fileKind } from '../configuration/project.ts';
import { removalsOf, removedPath } from '../configuration/removal.ts';
import { childShape, type Shape, shapeAt } from '../configuration/shape.ts';
import { nearestWord } from '../quantity/index.ts';
import {
  type Entry,
  type MappingNode,
  type Node,
  nodeAtPath,
  pathOf,
  pathText,
  type ScalarNode,
} from '../source/tree.ts';
import { engineCheck, type Found, fileCheck, type Subject } from './check.ts';
import { nameOf, quote, renaming } from './form-words.ts';

function* linksOf(subject: Subject, rule: LinkFault['rule']): Iterable<LinkFault> {
  for (const link of subject.links) if (link.rule === rule) yield link;
}

const nameOfFile = (path: string): string => quote(path.slice(path.lastIndexOf('/') + 1));

function notFound({ node, paths, refusal }: LinkFault, kind: 'engine' | 'controller'): Found {
  const [path = ''] = paths;
  const reason =
    fileKind(path) === kind
      ? (refusal ?? 'that file does not exist or cannot be read')
      : `the name of ${kind === 'engine' ? 'an engine' : 'a controller'} file must end in ${quote(`.${kind}.yaml`)}`;
  return { at: node, message: `${capital(nameOf(node))} names ${quote(node.text)}, but ${reason}.` };
}

export const overlayFileMissing = fileCheck({
  id: 'overlay-file-missing',
  severity: 'error',
  title: 'Base file not found',
  page: {
    catches: 'A `based_on` whose file does not exist, cannot be read, or is not an engine file.',
    why: 'Without its base file, an overlay lacks most of the engine, so most checks have nothing to compare.',
    example: 'based_on: ./skua-1300.bse.engine.yaml',
    remedy:
      'Correct the path; it is relative to the folder of this file. A path that leads outside the open folders, or outside what ' +
      'is checked, is followed only if you allow it.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const link of linksOf(subject, 'overlay-file-missing')) yield notFound(link, 'engine');
  },
});

export const overlayCycle = fileCheck({
  id: 'overlay-cycle',
  severity: 'error',
  title: 'Circular `based_on`',
  page: {
    catches: 'A chain of `based_on` that leads back to a file in the chain.',
    why: 'The chain has no first file, so the values would depend on where it is entered. This `based_on` is therefore not followed.',
    example: '# in a.engine.yaml\nbased_on: ./b.engine.yaml\n# in b.engine.yaml\nbased_on: ./a.engine.yaml',
    remedy: 'Decide which file is the base, and remove its `based_on`.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const { node, paths } of linksOf(subject, 'overlay-cycle')) {
      yield {
        at: node,
        message: `Circular \`based_on\`: ${paths.map(nameOfFile).join(' → ')}.`,
      };
    }
  },
});

export const controllerFileMissing = fileCheck({
  id: 'controller-file-missing',
  severity: 'error',
  title: 'Controller file not found',
  page: {
    catches: 'A `controller` whose file does not exist, cannot be read, or is not a controller file.',
    why: 'Without the controller file, pins, drivers, table sizes and storage are not checked.',
    example: 'controller: ./ec4.contoller.yaml',
    remedy:
      'Correct the path; it is relative to the folder of the file that contains it. Remove the key if there is no controller file.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const link of linksOf(subject, 'controller-file-missing')) yield notFound(link, 'controller');
  },
});

export const overlayKeyWithoutBase = engineCheck({
  id: 'overlay-key-without-base',
  severity: 'warning',
  title: 'Overlay key not in base file',
  page: {
    catches:
      'An incomplete entry in an overlay whose name resembles a name in its base file; complete additions are not reported. ' +
      'Also a key that a map set applies and that has no value outside it, and a key path under `remove` that leads to nothing.',
    why:
      'A change under another key leaves the value of the base file unchanged: an overlay with `takeoff` does not change the operating point ' +
      '`take_off`. A table that only one map set has is missing when another map set is selected.',
    example: 'based_on: ./skua-1300.base.engine.yaml\noperating_points:\n  takeoff: { isa_deviation: 20 K }',
    remedy:
      'Use the key of the base file, or leave the key as it is if it is an addition. For a map set, add a value outside it.',
    basis:
      'Common practice, no source. An entry with all of its required keys is taken as an intended addition.',
  },
  *find({ file, installation, rootShape }) {
    const engines = installation.files
      .filter(({ path }) => fileKind(path) === 'engine')
      .map(({ root }) => root);
    const bases = engines.filter((root) => root !== file.root);
    if (bases.length > 0) {
      for (const { key, value } of file.root.entries) {
        // Keys under `checks` are compared with the registered checks, not with the base file.
        if (key.text === 'checks') continue;
        const shape = childShape(rootShape, key.text);
        if (shape) yield* additions(shape, value, layersOf(bases, key.text), 'overlay');
      }
    }
    const sets = file.root.get('map_sets');
    const named = sets?.type === 'mapping' ? sets.get('sets') : undefined;
    for (const { value } of named?.type === 'mapping' ? named.entries : []) {
      const apply = value.type === 'mapping' ? value.get('apply') : undefined;
      const shape = apply && shapeAt(rootShape, pathOf(apply));
      if (apply && shape) yield* additions(shape, apply, engines, 'map set');
      if (value.type === 'mapping') yield* removedInVain(value, engines, 'The file');
    }
    yield* removedInVain(file.root, bases, 'The base file');
  },
});

/** Key paths under `remove` at which no layer below has anything. */
function* removedInVain(layer: MappingNode, below: readonly Node[], whose: string): Iterable<Found> {
  for (const path of removalsOf(layer)) {
    if (below.some((root) => nodeAtPath(root, removedPath(path)) !== undefined)) continue;
    yield { at: path, message: `${whose} does not have ${quote(path.text)}, so there is nothing to remove.` };
  }
}

function layersOf(layers: readonly Node[], key: string): Node[] {
  return layers
    .map((layer) => (layer.type === 'mapping' ? layer.get(key) : undefined))
    .filter((node) => node !== undefined);
}

/** Keys that a layer has and none of the layers below it has; for a whole section, only its key. */
function* additions(
  shape: Shape,
  layer: Node,
  below: readonly Node[],
  by: 'overlay' | 'map set',
): Iterable<Found> {
  const bases = below.filter((node) => node.type === 'mapping');
  if (layer.type !== 'mapping' || isLeaf(shape) || bases.length === 0) return;
  for (const entry of layer.entries) {
    const child = childShape(shape, entry.key.text);
    if (!child) continue;
    const under = layersOf(bases, entry.key.text);
    if (under.length > 0) yield* additions(child, entry.value, under, by);
    else if (by === 'map set') yield onlyInSet(entry, bases);
    else if (isIncomplete(child, entry)) yield* misnamed(entry, layer, bases);
  }
}

/** `egt_2` is not a typing error for `egt_1`. */
const unnumbered = (name: string): string => name.replaceAll(/\d+/g, '#');

/** Whether an entry lacks a key that one of its kind needs: it was meant to change another one. */
function isIncomplete(shape: Shape, { value }: Entry): boolean {
  return value.type === 'mapping' && shape.required.some((key) => !value.entry(key));
}

/** The keys that say what an entry is for; two that differ in one of them have different jobs. */
const JOBS = ['measures', 'drives', 'watches', 'kind'] as const;

function hasOtherJob(one: Node, other: Node | undefined): boolean {
  return JOBS.some((job) => {
    const [own, its] = [one, other].map((node) => (node?.type === 'mapping' ? node.get(job) : undefined));
    return own?.type === 'scalar' && its?.type === 'scalar' && own.text !== its.text;
  });
}

/** An incomplete entry under a name that resembles one of the base file. */
function* misnamed(entry: Entry, layer: MappingNode, bases: readonly MappingNode[]): Iterable<Found> {
  const { key, value } = entry;
  const free = bases
    .flatMap((base) => base.entries)
    .filter(
      (one) =>
        !layer.entry(one.key.text) &&
        unnumbered(one.key.text) !== unnumbered(key.text) &&
        !hasOtherJob(value, one.value),
    );
  const nearest = nearestWord(key.text, new Set(free.map((one) => one.key.text)));
  if (nearest === undefined) return;
  yield {
    at: key,
    message: `${pathOfKey(key, bases)} is not in the base file, but ${quote(nearest)} is; this adds a key and does not change ${quote(nearest)}.`,
    related: [
      { at: free.find((one) => one.key.text === nearest)!.key, message: `${quote(nearest)} is here.` },
    ],
    fixes: renaming(entry, nearest),
  };
}

const pathOfKey = (key: ScalarNode, bases: readonly MappingNode[]): string =>
  quote(pathText([...pathOf(bases[0]!), key.text]));

const onlyInSet = ({ key }: Entry, bases: readonly MappingNode[]): Found => ({
  at: key,
  message: `${pathOfKey(key, bases)} has no value outside this map set.`,
});
