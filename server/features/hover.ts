import { type Hover, MarkupKind, type Position } from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import type { Reading } from '../../shared/configuration/bind.ts';
import type { RelationValue } from '../../shared/configuration/values.ts';
import { alsoIn, type Quantity } from '../../shared/quantity/index.ts';
import type { Kind } from '../../shared/quantity/kinds.ts';
import { bold, code, lines, paragraphs } from '../markdown.ts';
import { rangeOf, standsIn } from '../places.ts';
import { derivedPage, derivedTable } from './derived-words.ts';
import type { Feature } from './feature.ts';
import { keyPage, usualWords } from './shape-words.ts';
import { type Spot, spotAt } from './spot.ts';
import { tablePage } from './table-hover.ts';

export const hover: Feature = {
  capabilities: { hoverProvider: true },
  listen: (connection, { from }) => {
    connection.onHover(from(hoverAt));
  },
};

/** What the word under the cursor means, in how many units, and what follows from it. */
export function hoverAt(analysis: Analysis, { position }: { readonly position: Position }): Hover | null {
  const spot = spotAt(analysis, position);
  if (!spot) return null;
  const page = paragraphs(spot.isKey ? keyWords(spot) : valueWords(analysis, spot), derivedWords(analysis, spot));
  if (page === '') return null;
  return {
    contents: { kind: MarkupKind.Markdown, value: page },
    range: standsIn(analysis.file, spot.node) ? rangeOf(analysis.file, spot.node) : undefined!,
  };
}

function keyWords({ shape, node }: Spot): string | undefined {
  return shape && keyPage(shape, node.text);
}

function valueWords(analysis: Analysis, spot: Spot): string | undefined {
  const { readings } = analysis.subject;
  const own = readings.find((reading) => reading.node === spot.node);
  if (own) return readingWords(own, spot);
  const around = readings.find(({ node }) => node === spot.node.parent)?.value;
  if (around?.type === 'relation') return relationWords(around, spot);
  return tablePage(analysis, spot) ?? keyWords(spot);
}

function readingWords({ value, shape }: Reading, spot: Spot): string | undefined {
  if (value.type !== 'quantity') return keyWords(spot);
  const label = shape.label ?? String(spot.path.at(-1));
  return paragraphs(
    quantityWords(label, value.quantity, value.kind),
    shape.usual && usualWords(shape.usual),
  );
}

/** `**Bore** 76 mm` and the same in other units. */
export function quantityWords(label: string, quantity: Quantity, kind?: Kind): string {
  const { number, unit, reference } = quantity;
  const others = alsoIn(quantity, kind);
  return lines(
    `${bold(label)} ${code(writtenText(number, unit?.symbol, reference))}`,
    others.length > 0 ? `= ${others.map(code).join(' · ')}` : undefined,
  );
}

function writtenText(number: number, symbol = '', reference?: Quantity['reference']): string {
  const word = reference === 'absolute' ? ' abs' : reference === 'gauge' ? ' gauge' : '';
  return `${number} ${symbol}${word}`.trimEnd();
}

function relationWords({ points }: RelationValue, { node }: Spot): string | undefined {
  const point = points.find(({ key, value }) => key === node || value === node);
  if (!point) return undefined;
  return lines(quantityWords('From', point.from), quantityWords('to', point.to));
}

/** More values than this are shown as a table. */
const MOST_PAGES = 3;

/** What follows from the place itself. */
function derivedWords({ derivation }: Analysis, { value }: Spot): string | undefined {
  const values = derivation?.all().filter(({ node }) => node === value) ?? [];
  return values.length > MOST_PAGES ? derivedTable(values) : values.map(derivedPage).join('\n\n---\n\n');
}

