import type { Hover, HoverParams } from 'vscode-languageserver';
import { type Analysis, readingAt } from '../../shared/analysis.ts';
import type { Reading } from '../../shared/configuration/readings.ts';
import { valuesAt } from '../../shared/derived/registry.ts';
import type { Quantity } from '../../shared/quantity/index.ts';
import { pathOf, pathText } from '../../shared/source/tree.ts';
import type { Proved } from '../bound-words.ts';
import { markup, paragraphs } from '../markdown.ts';
import { rangeOf } from '../places.ts';
import { NO_PREFERENCE, type PreferredUnits } from '../preferred-units.ts';
import { boundsAt, boundsPage } from './bound-page.ts';
import { settingAt, settingPage } from './check-settings.ts';
import { derivedPage, derivedTable } from './derived-words.ts';
import type { Feature } from './feature.ts';
import { gradeWords } from './grade-words.ts';
import { pinWords } from './pin-words.ts';
import { pointPage } from './point-hover.ts';
import { quantityWords } from './quantity-words.ts';
import { keyPage, usualWords } from './shape-words.ts';
import { type Spot, spotAt } from './spot.ts';
import { tablePage } from './table-hover.ts';

export const hover: Feature = {
  capabilities: { hoverProvider: true },
  listen: (connection, { from }) => {
    connection.onHover(
      from<HoverParams, Hover>((analysis, params, { settings, hoverMarks }, { proofs }) =>
        hoverAt(analysis, params, settings.units, hoverMarks, proofs.of(params.textDocument.uri)),
      ),
    );
  },
};

/** The meaning of the word under the cursor, its value in other units, and the derived values that belong to it. */
export function hoverAt(
  analysis: Analysis,
  { position }: Pick<HoverParams, 'position'>,
  units = NO_PREFERENCE,
  showsMarks = true,
  proved?: Proved,
): Hover | null {
  const spot = spotAt(analysis, position);
  if (!spot) return null;
  const words =
    pairWords(analysis, spot, units) ??
    (spot.isKey ? keyWords(analysis, spot) : valueWords(analysis, spot, units));
  const page = paragraphs(
    words,
    gradeWords(spot),
    proved && boundWords(spot, proved),
    derivedWords(analysis, spot, units),
  );
  if (page === '') return null;
  return {
    contents: markup(page, showsMarks),
    range: rangeOf(analysis.file, spot.node),
  };
}

/** All bounds at the key of the envelope; at a limit, the bounds that it limits. */
function boundWords({ isKey, path, value }: Spot, proved: Proved): string | undefined {
  if (isKey && path.length === 1 && path[0] === 'envelope') return boundsPage(proved);
  return boundsPage(boundsAt(proved, pathText(pathOf(value))));
}

function keyWords({ kind }: Analysis, { shape, node, path }: Spot): string | undefined {
  const setting = settingAt(kind, path);
  return setting ? settingPage(node.text, setting) : shape && keyPage(shape, node.text);
}

function valueWords(analysis: Analysis, spot: Spot, units: PreferredUnits): string | undefined {
  const { installation } = analysis;
  if (installation && spot.shape?.names === 'pin') return pinWords(installation, spot.node.text);
  const own = readingAt(analysis, spot.node);
  return own
    ? readingWords(analysis, own, spot, units)
    : (tablePage(analysis, spot, units) ?? keyWords(analysis, spot));
}

function readingWords(
  analysis: Analysis,
  { value, shape }: Reading,
  spot: Spot,
  units: PreferredUnits,
): string | undefined {
  if (value.type !== 'quantity') return keyWords(analysis, spot);
  const label = shape.label ?? String(spot.path.at(-1));
  return paragraphs(
    quantityWords(label, value.quantity, value.kind, units),
    shape.usual && usualWords(shape.usual),
  );
}

/** One pair of a relation, such as a sensor's scaling: `0.40 V` is `20 kPa abs`. */
function pairWords(analysis: Analysis, { node }: Spot, units: PreferredUnits): string | undefined {
  const around = node.parent && readingAt(analysis, node.parent);
  if (around?.value.type !== 'relation') return undefined;
  const pair = around.value.points.find(({ key, value }) => key === node || value === node);
  const label = around.shape.label ?? 'Pair';
  const words = (word: string, quantity: Quantity) => quantityWords(word, quantity, undefined, units);
  return pair && paragraphs(words(label, pair.from), words('corresponds to', pair.to));
}

/** More derived values than this are shown as a table. */
const MOST_PAGES = 3;

/** The derived values that belong to the place. */
function derivedWords({ derivation }: Analysis, { value }: Spot, units: PreferredUnits): string | undefined {
  if (!derivation) return undefined;
  const point = derivation.pointAt(value);
  if (point) return pointPage(derivation, point, units);
  const values = valuesAt(derivation, value);
  if (values.length > MOST_PAGES) return derivedTable(values, units);
  return values.map((one) => derivedPage(one, units)).join('\n\n---\n\n');
}
