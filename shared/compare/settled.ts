import type { Analysis } from '../analysis.ts';
import type { Finding } from '../checks/finding.ts';
import { offsetsOf } from '../source/source-file.ts';
import type { Node } from '../source/tree.ts';
import type { LimitMargin } from './limit-margin.ts';
import { isBeyondNow } from './limit-margin.ts';

/** What a limit and the value that is beyond it have to do with a finding. */
export interface LimitPlaces {
  /** The key path of the limit, or the id of the check whose threshold it is. */
  readonly at: string;
  readonly nodes: readonly (Node | undefined)[];
}

/**
 * Whether a finding is about a value beyond its limit: the check whose threshold the limit is reports it, or it stands
 * at, or refers to, the place of the limit or of the value, or at another key of the part to which the limit belongs.
 */
export function isAbout(analysis: Analysis, finding: Finding, { at, nodes }: LimitPlaces): boolean {
  if (finding.rule === at || finding.path === at) return true;
  const part = partOf(at);
  if (part !== undefined && part === partOf(finding.path)) return true;
  const places = [finding, ...(finding.writtenAt ? [finding.writtenAt] : []), ...finding.related];
  return nodes.some((node) => {
    const file = node && analysis.files.find(({ path }) => path === node.chunk.file);
    if (!node || !file?.chunks.has(node.chunk)) return false;
    const { start, end } = offsetsOf(file, node);
    return places.some((place) => place.file === file.path && start <= place.start && place.end <= end);
  });
}

/** The path of the part that a key belongs to, such as `fuel.injectors`; undefined for the keys of a section. */
function partOf(path: string): string | undefined {
  const steps = path.split('.');
  return steps.length > 2 ? steps.slice(0, -1).join('.') : undefined;
}

/** The margin with the reason for which the file accepts that the value is beyond its limit, if it does. */
export function withReason(analysis: Analysis, limit: LimitMargin, nodes: LimitPlaces['nodes']): LimitMargin {
  if (!isBeyondNow(limit)) return limit;
  const places = { at: limit.at, nodes };
  const found = analysis.accepted.find(({ finding }) => isAbout(analysis, finding, places));
  return found ? { ...limit, accepted: found.reason } : limit;
}
