import type { BusMessage } from '../../generated/configuration.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { referenceWords } from '../quantity/index.ts';
import type { Fix, Found, Subject } from './check.ts';
import { judgeEach } from './each.ts';
import { capital, nameOf, quote, rewriting, withoutReference } from './form-words.ts';

/** Scales of bus signals that are points: what a count is worth is a difference, in K and from nowhere. */
export function* scalesThatArePoints({ installation }: Subject): Iterable<Found> {
  yield* pointsOfMessages(Object.values(installation?.configuration.bus?.messages ?? {}), undefined);
}

const pointsOfMessages = judgeEach(({ signals }: BusMessage) =>
  Object.values(signals ?? {}).flatMap(({ scale }) => (scale && pointOnScale(scale)) ?? []),
);

function pointOnScale(scale: QuantityValue): Found | undefined {
  const { node } = scale;
  const { unit, unitRange, reference } = scale.quantity;
  if (!unit || !unitRange) return undefined;
  if (unit.dimension === 'temperature' && unit.symbol !== 'K') {
    // A step of 1 °F is none of 1 K.
    const fixes: Fix[] = unit.symbol === '°C' ? [rewriting(node, unitRange, 'K', 'choice')] : [];
    const message = `${capital(nameOf(node))} is a temperature difference and is written in K; ${quote(unit.symbol)} is a point on the scale.`;
    return { at: node, message, fixes };
  }
  if (unit.dimension !== 'pressure' || reference === 'difference') return undefined;
  const message = `${capital(nameOf(node))} is a pressure difference; it is measured from nowhere, so ${quote(referenceWords[reference!])} has no place there.`;
  return { at: node, message, fixes: [withoutReference(scale)] };
}
