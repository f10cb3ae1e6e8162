import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { type Change, isRenaming } from '../../shared/compare/change.ts';
import { type Comparison, compareAnalyses } from '../../shared/compare/comparison.ts';
import { placeInGrid } from '../../shared/compare/grid.ts';
import { inUnit } from '../../shared/compare/words.ts';
import { type PathStep, pathText, plainValue } from '../../shared/source/tree.ts';
import { analysisOf, compareTexts, complete, told } from './pair.ts';

type Tree = Record<string, unknown>;

const original = parse(complete, { intAsBigInt: false }) as Tree;

/** Sections whose keys are chosen by the author. */
const THINGS = ['sensors', 'outputs', 'protection', 'operating_points', 'bus.messages', 'map_sets.sets'];

type Edit =
  | { readonly kind: 'scale'; readonly pick: number; readonly factor: number }
  | { readonly kind: 'remove'; readonly pick: number }
  | { readonly kind: 'rename'; readonly pick: number; readonly name: string }
  | { readonly kind: 'copy'; readonly pick: number; readonly name: string }
  | { readonly kind: 'cell'; readonly pick: number; readonly step: number };

const pick = fc.nat(10_000);
const name = fc.stringMatching(/^x_[a-z]{1,8}$/);
const factor = fc.constantFrom(0.5, 0.9, 0.99, 1.01, 1.1, 2);
const edit: fc.Arbitrary<Edit> = fc.oneof(
  fc.record({ kind: fc.constant('scale' as const), pick, factor }),
  fc.record({ kind: fc.constant('remove' as const), pick }),
  fc.record({ kind: fc.constant('rename' as const), pick, name }),
  fc.record({ kind: fc.constant('copy' as const), pick, name }),
  fc.record({ kind: fc.constant('cell' as const), pick, step: fc.constantFrom(-3, -0.5, 0.25, 4) }),
);
const edits = fc.array(edit, { maxLength: 6 });

function edited(changes: readonly Edit[]): Tree {
  const tree = structuredClone(original);
  for (const change of changes) apply(tree, change);
  return tree;
}

function apply(tree: Tree, change: Edit): void {
  const places = [...placesFor(tree, change.kind)];
  const place = places[change.pick % Math.max(1, places.length)];
  if (!place) return;
  const { parent, key } = place;
  if (change.kind === 'scale')
    parent[key] = String(parent[key]).replace(NUMBER, (n) => String(Number(n) * change.factor));
  else if (change.kind === 'cell') parent[key] = Number(parent[key]) + change.step;
  else {
    const value = parent[key];
    if (change.kind !== 'copy') delete parent[key];
    if (change.kind !== 'remove') parent[change.name] = structuredClone(value);
  }
}

const NUMBER = /^-?\d+(\.\d+)?/;

function* placesFor(tree: Tree, kind: Edit['kind']): Generator<{ parent: Tree; key: string }> {
  if (kind === 'rename' || kind === 'copy') {
    for (const path of THINGS) {
      const parent = path.split('.').reduce<unknown>((at, key) => (at as Tree | undefined)?.[key], tree) as
        | Tree
        | undefined;
      for (const key of Object.keys(parent ?? {})) yield { parent: parent!, key };
    }
    return;
  }
  yield* below(tree, kind);
}

function* below(parent: Tree, kind: Edit['kind']): Generator<{ parent: Tree; key: string }> {
  for (const [key, value] of Object.entries(parent)) {
    if (kind === 'remove') yield { parent, key };
    if (kind === 'scale' && typeof value === 'string' && /^-?\d+(\.\d+)? \S/.test(value))
      yield { parent, key };
    if (kind === 'cell' && key === 'values') yield* cells(value as Tree);
    if (typeof value === 'object' && value !== null && !Array.isArray(value))
      yield* below(value as Tree, kind);
  }
}

function* cells(list: Tree): Generator<{ parent: Tree; key: string }> {
  for (const [key, value] of Object.entries(list)) {
    if (typeof value === 'number') yield { parent: list, key };
    else yield* cells(value as Tree);
  }
}

/** In different layouts: block, flow, and the keys of the file in reverse order. */
const LAYOUTS: readonly ((tree: Tree) => string)[] = [
  (tree) => stringify(tree, { aliasDuplicateObjects: false }),
  (tree) => `# comment\n${JSON.stringify(tree, null, 1)}\n`,
  (tree) =>
    stringify(Object.fromEntries(Object.entries(tree).reverse()), {
      indent: 4,
      aliasDuplicateObjects: false,
    }),
];

const RUNS = { numRuns: 20 };

describe('whatever was edited', () => {
  test('a file compared with itself in another layout shows nothing', () => {
    const property = fc.property(edits, fc.nat(2), fc.nat(2), (changes, one, other) => {
      const tree = edited(changes);
      expect(compareTexts(LAYOUTS[one]!(tree), LAYOUTS[other]!(tree))).toEqual({
        changes: [],
        consequences: [],
      });
    });
    fc.assert(property, RUNS);
  });

  test('the way back is the mirror of the way there, and the changes lead from the old file to the new one', () => {
    const property = fc.property(edits, edits, (before, after) => {
      const [old, now] = [edited(before), edited([...before, ...after])];
      const [was, is] = [analysisOf(LAYOUTS[0]!(old)), analysisOf(LAYOUTS[1]!(now))];
      const there = compareAnalyses(was, is);
      const back = compareAnalyses(is, was);
      expect(mirrored(there)).toEqual(mirrored(back, true));
      const led = LAYOUTS[0]!(changedBy(old, there.changes));
      expect(told(compareAnalyses(analysisOf(led), is))).toEqual([]);
    });
    fc.assert(property, RUNS);
  }, 240_000);
});

const OPPOSITES: Readonly<Record<string, string>> = { added: 'removed', removed: 'added' };

/** The result of a comparison, in an order that does not depend on which file is the old one. */
function mirrored({ changes, consequences }: Comparison, turned = false): string[] {
  const pair = (was: unknown, is: unknown) => (turned ? `${is} | ${was}` : `${was} | ${is}`);
  const sign = turned ? -1 : 1;
  const number = (canonical: number | undefined) =>
    canonical === undefined ? '' : String(canonical * sign + 0);
  return [
    ...changes.map((change) => {
      const type = turned ? (OPPOSITES[change.type] ?? change.type) : change.type;
      const step = change.type === 'value' ? number(change.step?.canonical) : '';
      const moved = change.type === 'table' ? change.grid.moved.join(' ') : '';
      return `${type} ${pair(path(change.was), path(change.is))} ${step}${moved}`;
    }),
    ...consequences.map((one) => {
      if (one.type === 'bound' || one.type === 'fault') throw new Error('neither was asked for');
      return one.type === 'finding'
        ? `${one.rule} ${pair(one.was, one.is)}`
        : `${one.id} ${pair(one.was?.at, one.is?.at)} ${number(one.step?.canonical)} ${one.moved}`;
    }),
  ].sort();
}

const path = (item: { path: readonly PathStep[] } | undefined): string => (item ? pathText(item.path) : '');

/** The old tree with the changes applied: removals first, then additions, outer things first. */
function changedBy(old: Tree, changes: readonly Change[]): Tree {
  const tree = structuredClone(old);
  for (const { type, was } of changes) {
    if (type === 'removed' || type === 'renamed' || type === 'moved') take(tree, was.path);
  }
  const settings = changes.flatMap((change) => {
    if (change.type === 'removed') return [];
    const own = [{ at: change.is.path, change }];
    const references = isRenaming(change)
      ? change.references.map(({ is }) => ({ at: is.path, change: { is } }))
      : [];
    return [...own, ...references];
  });
  for (const { at, change } of settings.sort((a, b) => a.at.length - b.at.length)) {
    if ('type' in change && change.type === 'table' && !change.grid.resampled) putCells(tree, change);
    else put(tree, at, plainValue(change.is.node));
  }
  return tree;
}

function parentOf(tree: Tree, at: readonly PathStep[]): Tree | undefined {
  return at.slice(0, -1).reduce<Tree | undefined>((parent, step) => parent?.[step] as Tree | undefined, tree);
}

function take(tree: Tree, at: readonly PathStep[]): void {
  delete parentOf(tree, at)?.[at.at(-1)!];
}

function put(tree: Tree, at: readonly PathStep[], value: unknown): void {
  parentOf(tree, at)![at.at(-1)!] = JSON.parse(JSON.stringify(value));
}

/** Only the changed cells, in the unit of the old table. */
function putCells(tree: Tree, { was, is, grid }: Extract<Change, { type: 'table' }>): void {
  const unit = was.value?.type === 'table' ? was.value.unit : '';
  const table = parentOf(tree, is.path)![is.path.at(-1)!] as Tree;
  for (const index of grid.moved) {
    const { row, column } = placeInGrid(grid, index);
    const list = (grid.y ? (table.values as Tree[])[row] : table.values) as Tree;
    list[column] = inUnit(grid.is[index]!, unit);
  }
}
