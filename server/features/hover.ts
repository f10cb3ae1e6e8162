import { type Hover, type HoverParams, MarkupKind } from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import type { Reading } from '../../shared/configuration/bind.ts';
import { allOfPoint } from '../../shared/derived/derivation.ts';
import { fileValues } from '../../shared/derived/registry.ts';
import { paragraphs } from '../markdown.ts';
import { rangeOf } from '../places.ts';
import { NO_PREFERENCE, type PreferredUnits } from '../preferred-units.ts';
import { derivedPage, derivedTable } from './derived-words.ts';
import type { Feature } from './feature.ts';
import { pinWords } from './pin-words.ts';
import { quantityWords } from './quantity-words.ts';
import { keyPage, usualWords } from './shape-words.ts';
import { type Spot, spotAt } from './spot.ts';
import { tablePage } from './table-hover.ts';

export const hover: Feature = {
  capabilities: { hoverProvider: true },
  listen: (connection, { from }) => {
    connection.onHover(
      from<HoverParams, Hover>((analysis, params, { settings }) => hoverAt(analysis, params, settings.units)),
    );
  },
};

/** What the word under the cursor means, in how many units, and what follows from it. */
export function hoverAt(
  analysis: Analysis,
  { position }: Pick<HoverParams, 'position'>,
  units = NO_PREFERENCE,
): Hover | null {
  const spot = spotAt(analysis, position);
  if (!spot) return null;
  const words = pairWords(analysis, spot) ?? (spot.isKey ? keyWords(spot) : valueWords(analysis, spot));
  const page = paragraphs(words, derivedWords(analysis, spot, units));
  if (page === '') return null;
  return {
    contents: { kind: MarkupKind.Markdown, value: page },
    range: rangeOf(analysis.file, spot.node),
  };
}

function keyWords({ shape, node }: Spot): string | undefined {
  return shape && keyPage(shape, node.text);
}

function valueWords(analysis: Analysis, spot: Spot): string | undefined {
  const { subject, installation } = analysis;
  if (installation && spot.shape?.names === 'pin') return pinWords(installation, spot.node.text);
  const own = subject.readings.find((reading) => reading.node === spot.node);
  return own ? readingWords(own, spot) : (tablePage(analysis, spot) ?? keyWords(spot));
}

function readingWords({ value, shape }: Reading, spot: Spot): string | undefined {
  if (value.type !== 'quantity') return keyWords(spot);
  const label = shape.label ?? String(spot.path.at(-1));
  return paragraphs(quantityWords(label, value.quantity, value.kind), shape.usual && usualWords(shape.usual));
}

/** One pair of a relation, such as a sensor's scaling: `0.40 V` is `20 kPa abs`. */
function pairWords({ subject }: Analysis, { node }: Spot): string | undefined {
  const around = subject.readings.find((reading) => reading.node === node.parent);
  if (around?.value.type !== 'relation') return undefined;
  const pair = around.value.points.find(({ key, value }) => key === node || value === node);
  const label = around.shape.label ?? 'Pair';
  return pair && paragraphs(quantityWords(label, pair.from), quantityWords('is', pair.to));
}

/** More values than this are shown as a table. */
const MOST_PAGES = 3;

/** What follows from the place itself; what an operating point is for comes first. */
function derivedWords({ derivation }: Analysis, { value }: Spot, units: PreferredUnits): string | undefined {
  if (!derivation) return undefined;
  const all = [...derivation.points.flatMap(allOfPoint), ...fileValues.flatMap((one) => derivation.get(one))];
  const values = all.filter(({ node }) => node === value);
  if (values.length > MOST_PAGES) return derivedTable(values, units);
  return values.map((one) => derivedPage(one, units)).join('\n\n---\n\n');
}
