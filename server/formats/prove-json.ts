import type { JudgedBound } from '../../shared/limits/verdict.ts';
import type { Envelope } from '../../shared/proof/envelope.ts';
import { witnessTexts } from '../../shared/proof/witness.ts';
import type { Format } from './format.ts';
import type { ProvedFile, ProveReport } from './prove-report.ts';

/** For programs. Values and units as in the JSON of `derive`; keys may be added, but none removed. */
export const proveJson: Format<ProveReport> = {
  write: ({ files }) => `${JSON.stringify({ files: files.map(fileOf) }, null, 2)}\n`,
};

function fileOf({ name, envelope, bounds, seconds }: ProvedFile) {
  return {
    path: name,
    envelope: envelope && envelopeOf(envelope),
    bounds: bounds.map(boundOf),
    seconds,
  };
}

function envelopeOf({ ranges, lowestPressure, overshoot }: Envelope) {
  const pairs = Object.entries(ranges).map(([name, { low, high }]) => [name, [low, high]]);
  return { ...Object.fromEntries(pairs), manifold_pressure: lowestPressure, overshoot: overshoot.canonical };
}

/** One bound as JSON. */
export function boundOf(proved: JudgedBound) {
  const { id, side, mapSet, fault, bound, reached, unit, limit, verdict, atTolerance } = proved;
  return {
    ...{ id, side, map_set: mapSet ?? null, fault: fault ?? null, bound, reached, unit: unit || '1' },
    witness: witnessTexts(proved),
    ...(atTolerance.length > 0 && { at_tolerance: atTolerance }),
    limit: limit ? { value: limit.value, at: limit.at } : null,
    verdict: verdict ?? null,
  };
}
