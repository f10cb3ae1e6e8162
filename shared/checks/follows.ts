import type { MaybeOperand, Result } from '../derived/value.ts';
import type { Node } from '../source/tree.ts';

/**
 * The places from which a value follows. If a finding about it is written in a base file, an overlay shows the finding at the
 * nearest of its own keys among them.
 */
export function placesBehind(value: MaybeOperand): Node[] {
  if (value && !('inputs' in value)) return value.node ? [value.node] : [];
  const places = new Set<Node>();
  const seen = new Set<Result>();
  // Direct inputs come first, then theirs.
  let results = value ? [value].map((one) => ('result' in one ? one.result : one)) : [];
  while (results.length > 0) {
    const inputs = results.flatMap((result) => result.inputs);
    for (const { node } of inputs) if (node) places.add(node);
    for (const result of results) seen.add(result);
    const sources = new Set(inputs.flatMap(({ derived, between }) => derived?.result ?? between ?? []));
    results = [...sources].filter((result) => !seen.has(result));
  }
  return [...places];
}
