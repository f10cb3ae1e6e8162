import { sectionAt } from '../../shared/configuration/applied.ts';
import type { Installation } from '../../shared/configuration/installation.ts';
import { SECTIONS } from '../../shared/configuration/sections.ts';
import type { Derivation } from '../../shared/derived/derivation.ts';
import { mapSetChanges } from '../../shared/derived/map-sets.ts';
import { pointValues, valuesPlacedIn } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { memo } from '../../shared/memo.ts';
import type { Chunk, Node, PathStep } from '../../shared/source/tree.ts';
import { keptText } from '../../shared/storage/kept-text.ts';
import { storedParts } from '../../shared/storage/stored-parts.ts';
import type { Proved } from '../bound-words.ts';
import { prose } from '../markdown.ts';
import type { PreferredUnits } from '../preferred-units.ts';
import { type Mover, moversOf } from '../sensitivity-words.ts';
import type { Settings } from '../settings.ts';
import { boundParts } from './bound-hints.ts';
import { derivedPage, derivedTable } from './derived-words.ts';
import type { HintPart, PlacedPart, Sight } from './hint-part.ts';
import { ESSENTIAL, fileHints, type HintText, hintNumber, pointHints } from './hint-texts.ts';

export type PartsByPlace = ReadonlyMap<Node, readonly HintPart[]>;

/** The hints of all visible places of an installation, by place. */
export function hintParts(
  derivation: Derivation,
  settings: Settings,
  sight: Sight,
  proved?: Proved,
): PartsByPlace {
  const all = [
    // That the controller keeps another number than is written comes first: it must not be among those that are counted.
    ...keptPartsIn(derivation, sight),
    ...(proved ? boundParts(derivation, proved, sight) : []),
    ...valueParts(derivation, settings, sight),
    ...mapSetParts(derivation, sight),
  ];
  const byPlace = [...groupedBy(all, ([node]) => node)];
  return new Map(byPlace.map(([node, parts]) => [node, parts.map(([, part]) => part)]));
}

function valueParts(
  derivation: Derivation,
  { inlayHints: { density }, units }: Settings,
  sight: Sight,
): PlacedPart[] {
  const sections = sectionsInSight(sight);
  const ofFile = valuesPlacedIn(sections).flatMap((definition) => {
    const text = density === 'all' || ESSENTIAL.has(definition.id) ? fileHints[definition.id] : undefined;
    return text
      ? partsByList(inSight(valuesByChunk(derivation.get(definition)), sight), text, units, sight)
      : [];
  });
  const points = sections.has('operating_points')
    ? inSight(derivation.once(pointsByChunk), sight).filter(({ node }) => sight.holds(node))
    : [];
  const ofPoints = points.flatMap((point) =>
    Object.entries(pointHints).flatMap(([id, text]) => {
      const definition = pointValues.find((one) => one.id === id);
      const value = definition && point.get(definition);
      return value ? partsByList([value], text, units, sight, () => moversOf(value)) : [];
    }),
  );
  return [...ofFile, ...ofPoints];
}

/** The sections of the engine that a visible place may belong to; in a map set, every section that it changes. */
function sectionsInSight({ chunks }: Sight): ReadonlySet<PathStep | undefined> {
  return new Set(
    chunks.flatMap(({ prefix, root }) => {
      const paths = prefix.length > 0 ? [prefix] : root.entries.map(({ key }) => [key.text]);
      return paths.flatMap((path): readonly (PathStep | undefined)[] =>
        sectionAt(path) === 'map_sets' ? SECTIONS : [sectionAt(path)],
      );
    }),
  );
}

/** A large file has thousands of values, and an editor requests only those of the visible lines. */
const valuesByChunk = memo((values: readonly DerivedValue[]) =>
  groupedBy(values, (value) => placeOf(value).chunk),
);

const pointsByChunk = ({ points }: Derivation) => groupedBy(points, ({ node }) => node.chunk);

const inSight = <One>(byChunk: ReadonlyMap<Chunk, readonly One[]>, { chunks }: Sight): One[] =>
  chunks.flatMap((chunk) => byChunk.get(chunk) ?? []);

const placeOf = ({ node }: DerivedValue): Node => (node.parent?.type === 'sequence' ? node.parent : node);

/** A list has one hint, with the lowest and the highest value, because there is no space for one after each item. */
function partsByList(
  values: readonly DerivedValue[],
  text: HintText,
  units: PreferredUnits,
  sight: Sight,
  movers: () => readonly Mover[] = () => [],
): PlacedPart[] {
  const seen = values.filter((value) => sight.holds(placeOf(value)));
  return [...groupedBy(seen, placeOf)].map(([node, list]) => [
    node,
    {
      text: text(hintNumber(list, units)),
      words: () => (list.length > 1 ? derivedTable(list, units) : derivedPage(list[0]!, units, movers())),
      inputs: () => inputsOf(list),
    },
  ]);
}

/** The places of the written numbers from which values are calculated, directly or through other derived values. */
function inputsOf(values: readonly DerivedValue[]): Node[] {
  const places = new Set<Node>();
  const from = new Set<Pick<DerivedValue, 'inputs'>>(values);
  // The set grows during the loop, so nearer inputs come first, and each only once.
  for (const { inputs } of from) {
    for (const { node, derived, between } of inputs) {
      const earlier = derived ?? between;
      if (earlier) from.add(earlier);
      else if (node) places.add(node);
    }
  }
  return [...places];
}

/** What the controller keeps of each number where its rounding matters; a list has one hint for all its numbers. */
function keptPartsIn({ installation }: Derivation, { chunks, holds }: Sight): PlacedPart[] {
  const rounded = chunks
    .flatMap((chunk) => roundedByChunk(installation).get(chunk) ?? [])
    .filter(({ place }) => holds(place));
  return [...groupedBy(rounded, ({ place }) => place)].map(([node, numbers]) => [
    node,
    {
      text:
        numbers.length === 1
          ? `kept as ${numbers[0]!.text}`
          : `${numbers.length} numbers rounded in the controller`,
      words: () =>
        numbers.map(({ key, written, text }) => `\`${key}\`: ${written} is kept as ${text}.`).join('\n\n'),
      inputs: () => numbers.flatMap(({ scale }) => (scale ? [scale] : [])),
    },
  ]);
}

/** The numbers whose rounding matters, by the chunk of the number or of its list. */
const roundedByChunk = memo((installation: Installation) => {
  const numbers = storedParts(installation).parts.flatMap(({ key, part, unit, cells }) =>
    cells.flatMap(({ node, number }) => {
      const kept = number && keptText(number);
      if (kept === undefined) return [];
      const written = `${node.text.slice(...number!.written.digits)} ${unit}`.trim();
      const place: Node = node.parent?.type === 'sequence' ? node.parent : node;
      return [
        { key, written, text: `${kept} ${unit}`.trim(), place, scale: part.scale?.node ?? part.at.node },
      ];
    }),
  );
  return groupedBy(numbers, ({ place }) => place.chunk);
});

/** The effect of each value in a map set, compared with the file without the set. */
function mapSetParts({ installation }: Derivation, { chunks, holds }: Sight): PlacedPart[] {
  const changed = mapSetChanges(installation).filter(
    ({ node }) => chunks.includes(node.chunk) && holds(node),
  );
  return changed.map(({ node, set, text, changes, before }) => [
    node,
    {
      // The path is visible in the text beside the hint.
      text: changes ? text.slice(text.indexOf(': ') + 2) : 'same as without the map set',
      words: () => prose(`Map set \`${set}\` ${text}.`),
      inputs: () => (before ? [before.node] : []),
    },
  ]);
}
