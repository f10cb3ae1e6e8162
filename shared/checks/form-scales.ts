import type { BusMessage } from '../../generated/configuration.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { referenceWords } from '../quantity/index.ts';
import type { Fix, Found, Subject } from './check.ts';
import { checkEach } from './each.ts';
import { capital, nameOf, quote, rewriting, withoutReference } from './form-words.ts';

/**
 * Scales of bus signals that are points on a scale: the value of a count is a difference, in K or without a reference.
 */
export function* scalesThatArePoints({ installation }: Subject): Iterable<Found> {
  yield* pointsOfMessages(Object.values(installation?.configuration.bus?.messages ?? {}), undefined);
}

const pointsOfMessages = checkEach(({ signals }: BusMessage) =>
  Object.values(signals ?? {}).flatMap(({ scale }) => (scale && pointOnScale(scale)) ?? []),
);

function pointOnScale(scale: QuantityValue): Found | undefined {
  const { node } = scale;
  const { unit, unitRange, reference } = scale.quantity;
  if (!unit || !unitRange) return undefined;
  if (unit.dimension === 'temperature' && unit.symbol !== 'K') {
    // A step of 1 °F is not 1 K.
    const fixes: Fix[] = unit.symbol === '°C' ? [rewriting(node, unitRange, 'K', 'choice')] : [];
    const message = `${capital(nameOf(node))} is a temperature difference and must be in K; ${quote(unit.symbol)} denotes a point on a scale.`;
    return { at: node, message, fixes };
  }
  if (unit.dimension !== 'pressure' || reference === 'difference') return undefined;
  const message = `${capital(nameOf(node))} is a pressure difference and must be written without ${quote(referenceWords[reference!])}.`;
  return { at: node, message, fixes: [withoutReference(scale)] };
}
