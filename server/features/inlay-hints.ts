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
import { fileValues, pointValues } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { keyOf, offsetsOf, type SourceFile } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import type { Editor } from '../editor.ts';
import { standsIn } from '../places.ts';
import { derivedPage } from './derived-words.ts';
import type { Feature } from './feature.ts';
import { fileHints, hintNumber, pointHints } from './hint-texts.ts';

export const inlayHints: Feature = {
  capabilities: { inlayHintProvider: true },
  listen: (connection, { from }) => {
    connection.languages.inlayHint.on(
      from((analysis, params, editor: Editor) =>
        editor.settings.inlayHints.enabled ? inlayHintsIn(analysis, params) : [],
      ),
    );
  },
};

/** Derived values behind the text that they follow from; those of one place in one hint, each with its formula. */
export function inlayHintsIn(
  { file, derivation }: Analysis,
  { range }: { readonly range: Range },
): InlayHint[] {
  if (!derivation) return [];
  const byPlace = new Map<Node, Hinted[]>();
  for (const hinted of hintedValues(derivation)) {
    const { node } = hinted.value;
    if (standsIn(file, node)) byPlace.set(node, [...(byPlace.get(node) ?? []), hinted]);
  }
  return [...byPlace].flatMap(([node, values]) => {
    const position = positionBehind(file, node);
    const isAsked = position.line >= range.start.line && position.line <= range.end.line;
    const label = isAsked ? labelParts(values) : [];
    return isAsked ? [{ position, label, kind: InlayHintKind.Type, paddingLeft: true }] : [];
  });
}

interface Hinted {
  readonly value: DerivedValue;
  readonly text: string;
}

function labelParts(values: readonly Hinted[]): InlayHintLabelPart[] {
  return values.flatMap(({ value, text }, i) => {
    const tooltip = { kind: MarkupKind.Markdown, value: derivedPage(value) };
    return [...(i > 0 ? [{ value: ' · ' }] : []), { value: text, tooltip }];
  });
}

function hintedValues(derivation: Derivation): Hinted[] {
  const ofFile = fileValues.flatMap((definition) => {
    const text = fileHints[definition.id];
    return text ? derivation.get(definition).map((value) => ({ value, text: text(hintNumber(value)) })) : [];
  });
  const ofPoints = derivation.points.flatMap((point) =>
    Object.entries(pointHints).flatMap(([id, text]) => {
      const definition = pointValues.find((one) => one.id === id);
      const value = definition && point.get(definition);
      return value ? [{ value, text: text(hintNumber(value)) }] : [];
    }),
  );
  return [...ofFile, ...ofPoints];
}

/** Behind what stands on one line; behind the key and its colon where the value spans many. */
function positionBehind(file: SourceFile, node: Node): Position {
  const key = keyOf(node);
  const written = node.chunk.text.slice(node.start, node.end);
  const isOneLine = node.type === 'scalar' || (node.flow && !written.includes('\n'));
  if (isOneLine || !key) return file.lines.position(offsetsOf(file, node).end);
  return file.lines.position(offsetsOf(file, key).end + 1);
}
