import {
  type BoundLine,
  boundLines,
  type Proved,
  VERDICT_MEANINGS,
  VERDICTS,
  verdictCounts,
} from '../bound-words.ts';
import { bold, lines, paragraphs, plain } from '../markdown.ts';
import { tableOf, unbroken } from './derived-words.ts';

/** More lines than this make a hover unreadable. */
const MOST_LINES = 12;

/** The page of some bounds: each with its limit, verdict and witness. Undefined if there are none. */
export function boundsPage({ bounds, isCurrent }: Proved): string | undefined {
  if (bounds.length === 0) return undefined;
  const all = boundLines(bounds);
  const shown = all.slice(0, MOST_LINES);
  const used = VERDICTS.filter((verdict) => shown.some((line) => line.verdict === verdict));
  const rest = all.length - shown.length;
  return paragraphs(
    `${bold('Over all states of the envelope')}${isCurrent ? '' : ` ${plain(OUTDATED)}`}: ${plain(verdictCounts(bounds))}`,
    tableOf(['Value', 'Map set and fault', 'Bound', 'Limit', 'Margin', 'Verdict', 'State'], shown.map(row)),
    lines(
      rest > 0 ? plain(`… and ${rest} more, with larger margins.`) : undefined,
      ...used.map((verdict) => `*${plain(`${verdict}: ${VERDICT_MEANINGS[verdict]}`)}*`),
    ),
  );
}

/** Marks bounds that were searched before the last edit. */
export const OUTDATED = '(before the last edit)';

function row({ label, place, bound, reached, limit, margin, verdict, witness, of }: BoundLine): string[] {
  const number = of.isClosed ? bound : `${bound} (${reached} reached)`;
  const cells = [number, limit, margin].map(unbroken);
  return [plain(label), plain(place), ...cells, bold(verdict), plain(witness)];
}

/** The bounds whose limit is written at a node. */
export const boundsAt = ({ bounds, isCurrent }: Proved, path: string): Proved => ({
  bounds: bounds.filter(({ limit }) => limit.at === path),
  isCurrent,
});
