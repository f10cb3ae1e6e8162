import {
  type InlayHint,
  InlayHintKind,
  type InlayHintLabelPart,
  MarkupKind,
  type Position,
  type Range,
} from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import type { Derivation } from '../../shared/derived/derivation.ts';
import { mapSetChanges } from '../../shared/derived/map-sets.ts';
import { fileValues, pointValues } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { keyOf, offsetsOf, type SourceFile } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import type { Editor } from '../editor.ts';
import { plain } from '../markdown.ts';
import { standsIn } from '../places.ts';
import type { PreferredUnits } from '../preferred-units.ts';
import { type Density, readSettings } from '../settings.ts';
import { derivedPage, derivedTable } from './derived-words.ts';
import type { Feature } from './feature.ts';
import { ESSENTIAL, fileHints, type HintText, hintNumber, pointHints } from './hint-texts.ts';

export const inlayHints: Feature = {
  capabilities: { inlayHintProvider: true },
  listen: (connection, { from }) => {
    connection.languages.inlayHint.on(
      from((analysis, params, editor: Editor) =>
        editor.settings.inlayHints.enabled ? inlayHintsIn(analysis, params, editor.settings) : [],
      ),
    );
  },
};

/** Derived values behind the text that they follow from; those of one place in one hint, each with its formula. */
export function inlayHintsIn(
  { file, derivation }: Analysis,
  { range }: { readonly range: Range },
  { inlayHints: { density }, units } = readSettings(undefined),
): InlayHint[] {
  if (!derivation) return [];
  const byPlace = new Map<Node, Part[]>();
  const parts = [...hintParts(derivation, density, units), ...mapSetParts(derivation)];
  for (const part of parts) {
    if (standsIn(file, part.node)) byPlace.set(part.node, [...(byPlace.get(part.node) ?? []), part]);
  }
  return [...byPlace].flatMap(([node, parts]) => {
    const position = positionBehind(file, node);
    const isAsked = position.line >= range.start.line && position.line <= range.end.line;
    return isAsked
      ? [{ position, label: label(parts, units), kind: InlayHintKind.Type, paddingLeft: true }]
      : [];
  });
}

/** What a hint says about one value, or about the values of a whole list. */
interface Part {
  readonly node: Node;
  readonly text: string;
  readonly values: readonly DerivedValue[];
  /** What a reader sees on pointing at a hint that stands for no derived value. */
  readonly words?: string;
}

function label(parts: readonly Part[], units: PreferredUnits): InlayHintLabelPart[] {
  return parts.flatMap(({ values, text, words }, i) => {
    const page = values.length > 1 ? derivedTable(values, units) : values[0] && derivedPage(values[0], units);
    const tooltip = { kind: MarkupKind.Markdown, value: words ?? page ?? '' };
    return [...(i > 0 ? [{ value: ' · ' }] : []), { value: text, tooltip }];
  });
}

function hintParts(derivation: Derivation, density: Density, units: PreferredUnits): Part[] {
  const ofFile = fileValues.flatMap((definition) => {
    const text = density === 'all' || ESSENTIAL.has(definition.id) ? fileHints[definition.id] : undefined;
    return text ? partsByList(derivation.get(definition), text, units) : [];
  });
  const ofPoints = derivation.points.flatMap((point) =>
    Object.entries(pointHints).flatMap(([id, text]) => {
      const definition = pointValues.find((one) => one.id === id);
      const value = definition && point.get(definition);
      return value ? partsByList([value], text, units) : [];
    }),
  );
  return [...ofFile, ...ofPoints];
}

/** What each map set makes of the value that it lays over the engine. */
function mapSetParts({ installation }: Derivation): Part[] {
  return mapSetChanges(installation).map(({ node, set, text, changes }) => ({
    node,
    // The path stands in the text already; the words behind it are what is new.
    text: changes ? text.slice(text.indexOf(': ') + 2) : 'as without the set',
    values: [],
    words: plain(`Map set ${set} ${text}.`),
  }));
}

/** A list has no room for a hint behind each of its members: the whole of it gets one, from the least to the most. */
function partsByList(values: readonly DerivedValue[], text: HintText, units: PreferredUnits): Part[] {
  const byPlace = new Map<Node, DerivedValue[]>();
  for (const value of values) {
    const { parent } = value.node;
    const place = parent?.type === 'sequence' ? parent : value.node;
    byPlace.set(place, [...(byPlace.get(place) ?? []), value]);
  }
  return [...byPlace].map(([node, list]) => ({ node, text: text(hintNumber(list, units)), values: list }));
}

/** Behind what stands on one line; behind the key and its colon where the value spans many. */
function positionBehind(file: SourceFile, node: Node): Position {
  const key = keyOf(node);
  const written = node.chunk.text.slice(node.start, node.end);
  const isOneLine = node.type === 'scalar' || (node.flow && !written.includes('\n'));
  if (isOneLine || !key) return file.lines.position(offsetsOf(file, node).end);
  return file.lines.position(offsetsOf(file, key).end + 1);
}
