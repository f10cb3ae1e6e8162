import type { Derivation } from '../../shared/derived/derivation.ts';
import { envelopeOf } from '../../shared/proof/envelope.ts';
import { NO_ENVELOPE } from '../../shared/proof/words.ts';
import { boundKey, boundLines, type Proved, VERDICT_MEANINGS, verdictCounts } from '../bound-words.ts';
import type { PlaceOf } from './installation-view-places.ts';
import type { BoundsView } from './installation-view-types.ts';

/** The bounds that have a limit or, before any have been searched, only a note that the search is running. */
export function boundsView(
  { installation, points }: Derivation,
  proved: Proved | undefined,
  placeOf: PlaceOf,
): BoundsView {
  const [engine] = installation.engines;
  if (!engine || !envelopeOf(engine, points)) return { status: 'unknown', summary: NO_ENVELOPE, rows: [] };
  if (!proved) return { status: 'awaited', summary: 'Searching for bounds…', rows: [] };
  const { bounds, isCurrent } = proved;
  return {
    status: isCurrent ? 'current' : 'outdated',
    summary: bounds.length > 0 ? `${verdictCounts(bounds)}.` : 'No value of an operating point has a limit.',
    rows: boundLines(bounds).map((line) => ({
      value: boundKey(line.of),
      label: line.label,
      situation: line.place,
      bound: line.of.isClosed ? line.bound : `${line.bound} (${line.reached} reached)`,
      limit: line.limit,
      margin: line.margin,
      share: line.share ?? null,
      verdict: line.verdict,
      meaning: VERDICT_MEANINGS[line.verdict],
      state: line.witness,
      place: line.of.limit.node ? placeOf(line.of.limit.node) : null,
    })),
  };
}
