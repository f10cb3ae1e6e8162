import type { Analysis } from '../analysis.ts';
import type { Finding } from '../checks/finding.ts';
import { isBeyondNow, type LimitMargin } from './limit-margin.ts';
import { longestAbove } from './renames.ts';

/** The findings of a file: those that it, or a baseline, accepts and the others. */
export interface Standing {
  readonly accepted: readonly Finding[];
  readonly open: readonly Finding[];
}

/**
 * The accepted finding that settles a value beyond its limit: one of a check that reports it, unless such a check has an open
 * finding at the place of the value, such as another wire than the accepted one.
 */
export function settling({ checks, place }: LimitMargin, { accepted, open }: Standing): Finding | undefined {
  const reports = ({ rule }: Finding) => checks.includes(rule);
  const above = longestAbove(new Set([place]), '.[');
  const isOpen = open.some((finding) => reports(finding) && above(finding.path) !== undefined);
  return isOpen ? undefined : accepted.find(reports);
}

/** With the reason for which the file accepts that the value is beyond its limit, if it does. */
export function withReason({ findings: open, accepted }: Analysis, limit: LimitMargin): LimitMargin {
  if (!isBeyondNow(limit)) return limit;
  const found = settling(limit, { open, accepted: accepted.map(({ finding }) => finding) });
  const reason = accepted.find(({ finding }) => finding === found)?.reason;
  return reason === undefined ? limit : { ...limit, accepted: reason };
}
