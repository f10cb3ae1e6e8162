import { isLeaf } from '../configuration/bind.ts';
import type { LinkFault } from '../configuration/installation.ts';
import { fileKind } from '../configuration/project.ts';
import { childShape, type Shape, shapeAt } from '../configuration/shape.ts';
import { nearestWord } from '../quantity/index.ts';
import { renameKey } from '../source/edit.ts';
import { type Entry, type MappingNode, type Node, pathOf } from '../source/tree.ts';
import { engineCheck, type Found, fileCheck, type Subject } from './check.ts';
import { capital, nameOf, quote } from './form-words.ts';

function* linksOf(subject: Subject, rule: LinkFault['rule']): Iterable<LinkFault> {
  for (const link of subject.links) if (link.rule === rule) yield link;
}

const nameOfFile = (path: string): string => quote(path.slice(path.lastIndexOf('/') + 1));

function notFound({ node, paths, refusal }: LinkFault, kind: 'engine' | 'controller'): Found {
  const [path = ''] = paths;
  const reason =
    fileKind(path) === kind
      ? (refusal ?? 'there is no such file that can be read')
      : `the name of such a file ends in ${quote(`.${kind}.yaml`)}`;
  return { at: node, message: `${capital(nameOf(node))} names ${quote(node.text)}, but ${reason}.` };
}

export const overlayFileMissing = fileCheck({
  id: 'overlay-file-missing',
  severity: 'error',
  title: 'The file that this one is based on is not there',
  page: {
    catches:
      'A `based_on` that leads to no engine file: a path that does not exist, cannot be read, or is of another kind.',
    why: 'An overlay without its base is a list of changes to nothing. Most of the engine is missing from every check.',
    example: 'based_on: ./skua-1300.bse.engine.yaml',
    remedy:
      'Correct the path; it counts from the folder of this file. One that leads out of the folders that are open, or out ' +
      'of what is checked, is not followed unless you allow it.',
    basis: 'The format of the file.',
  },
  *find(subject) {
    for (const link of linksOf(subject, 'overlay-file-missing')) yield notFound(link, 'engine');
  },
});

export const overlayCycle = fileCheck({
  id: 'overlay-cycle',
  severity: 'error',
  title: 'Files that are based on each other',
  page: {
    catches: 'A chain of `based_on` that comes back to a file that is already in it.',
    why: 'There is no first file, so which value wins would depend on where one begins. The chain is cut at this place.',
    example: '# in a.engine.yaml\nbased_on: ./b.engine.yaml\n# in b.engine.yaml\nbased_on: ./a.engine.yaml',
    remedy: 'Decide which of them is the base, and remove its `based_on`.',
    basis: 'The format of the file.',
  },
  *find(subject) {
    for (const { node, paths } of linksOf(subject, 'overlay-cycle')) {
      yield {
        at: node,
        message: `These files are based on each other: ${paths.map(nameOfFile).join(' → ')}.`,
      };
    }
  },
});

export const controllerFileMissing = fileCheck({
  id: 'controller-file-missing',
  severity: 'error',
  title: 'The controller file is not there',
  page: {
    catches:
      'A `controller` that leads to no controller file: a path that does not exist, cannot be read, or is of another kind.',
    why: 'Pins, drivers, sizes and storage are checked against the controller. Without it none of them is.',
    example: 'controller: ./ec4.contoller.yaml',
    remedy:
      'Correct the path; it counts from the folder of the file that names it. Leave the key out if there is no such file.',
    basis: 'The format of the file.',
  },
  *find(subject) {
    for (const link of linksOf(subject, 'controller-file-missing')) yield notFound(link, 'controller');
  },
});

export const overlayKeyWithoutBase = engineCheck({
  id: 'overlay-key-without-base',
  severity: 'information',
  title: 'A change to something that the base does not have',
  page: {
    catches:
      'A key of an overlay, below a section that the base has too, that the base does not have; and the same of what a map set ' +
      'applies. Whole sections that an overlay adds are its purpose and are left alone.',
    why:
      'What is meant as a change and adds something instead leaves the old value in force: an overlay that corrects the ' +
      'point `takeoff` has not touched `take_off`. In a map set, a table that the base lacks has nothing to go back to when ' +
      'the switch is turned.',
    example: 'based_on: ./skua-1300.base.engine.yaml\noperating_points:\n  takeoff: { isa_deviation: 20 K }',
    remedy:
      'Take the name that the base has, or leave it if an addition is meant. For a map set, give the base its own value.',
    basis:
      'Common practice, no source. An addition by an overlay is information; a name one slip away from one of the base, and a ' +
      'key that only a map set has, are warnings.',
  },
  *find({ file, installation, rootShape }) {
    const engines = installation.files
      .filter(({ path }) => fileKind(path) === 'engine')
      .map(({ root }) => root);
    const bases = engines.filter((root) => root !== file.root);
    if (bases.length > 0) {
      for (const { key, value } of file.root.entries) {
        // What stands there is compared with the checks themselves.
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
    }
  },
});

function layersOf(layers: readonly Node[], key: string): Node[] {
  return layers
    .map((layer) => (layer.type === 'mapping' ? layer.get(key) : undefined))
    .filter((node) => node !== undefined);
}

/** What a layer has and none of the layers below it has; of a whole section, its key alone. */
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
    else yield addition(entry, layer, bases, by, shape.properties.has(entry.key.text));
  }
}

/** `egt_2` is no slip for `egt_1`. */
const unnumbered = (name: string): string => name.replaceAll(/\d+/g, '#');

function addition(
  entry: Entry,
  layer: MappingNode,
  bases: readonly MappingNode[],
  by: 'overlay' | 'map set',
  isFixed: boolean,
): Found {
  const { key } = entry;
  const free = bases
    .flatMap((base) => base.entries.map((one) => one.key.text))
    .filter((name) => !layer.entry(name) && unnumbered(name) !== unnumbered(key.text));
  const nearest = isFixed ? undefined : nearestWord(key.text, new Set(free));
  const start = `The base has no ${quote(key.text)} in ${nameOf(bases[0]!)}`;
  if (nearest !== undefined) {
    return {
      at: key,
      severity: 'warning',
      message: `${start}, but ${quote(nearest)}: this adds another one and leaves that as it is.`,
      related: [
        { at: bases.find((base) => base.entry(nearest))!.entry(nearest)!.key, message: 'It stands here.' },
      ],
      fixes: [{ title: `Rename to ${quote(nearest)}`, safety: 'choice', edits: [renameKey(entry, nearest)] }],
    };
  }
  if (by === 'overlay') return { at: key, message: `${start}: this file adds it.` };
  return { at: key, severity: 'warning', message: `${start}: outside this map set nothing takes its place.` };
}
