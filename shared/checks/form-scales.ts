import type { BusMessage } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { referenceWords } from '../quantity/index.ts';
import { insertEntry } from '../source/edit.ts';
import type { Fix, Found, Subject } from './check.ts';
import { checkEach } from './each.ts';
import { nameOf, quote, rewriting, withoutReference } from './form-words.ts';

/**
 * Scales of bus signals that are points on a scale: the value of a count is a difference, in K or without a reference.
 */
export function* scalesThatArePoints({ installation }: Subject): Iterable<Found> {
  yield* pointsOfMessages(Object.values(installation?.configuration.bus?.messages ?? {}), undefined);
}

const pointsOfMessages = checkEach(({ signals }: BusMessage) =>
  Object.values(signals ?? {}).flatMap(({ scale, offset }) => (scale && pointOnScale(scale, offset)) ?? []),
);

function pointOnScale(scale: QuantityValue, offset: QuantityValue | undefined): Found | undefined {
  const { node } = scale;
  const { unit, unitRange, reference } = scale.quantity;
  if (!unit || !unitRange) return undefined;
  if (unit.dimension === 'temperature' && unit.symbol !== 'K')
    return scaleInKelvin(scale, capital(nameOf(node)), offset ? [] : zeroReadings(scale, 'offset'));
  if (unit.dimension !== 'pressure' || reference === 'difference') return undefined;
  const message = `${capital(nameOf(node))} is a pressure difference and must be written without ${quote(referenceWords[reference!])}.`;
  return { at: node, message, fixes: [withoutReference(scale)] };
}

/** The finding for a scale that is a temperature; its fix also adds the first of the offsets. */
export function scaleInKelvin({ node, quantity }: QuantityValue, what: string, zeros: readonly Fix[]): Found {
  const { unit, unitRange } = quantity;
  const message = `${what} is a temperature difference and must be in K; ${quote(unit!.symbol)} denotes a point on a scale.`;
  // A step of 1 °F is not 1 K.
  if (unit!.symbol !== '°C' || !unitRange) return { at: node, message };
  const inKelvin = rewriting(node, unitRange, 'K', 'choice');
  const [zero] = zeros;
  if (!zero) return { at: node, message, fixes: [inKelvin] };
  const title = `${inKelvin.title} and ${zero.title.replace('Add', 'add')}`;
  return { at: node, message, fixes: [{ ...inKelvin, title, edits: [...inKelvin.edits, ...zero.edits] }] };
}

/** Fixes that add the offset of a temperature after its scale: what a count of zero may mean. */
export function zeroReadings({ node }: QuantityValue, key: string): Fix[] {
  const mapping = node.parent;
  if (mapping?.type !== 'mapping') return [];
  const after = mapping.entries.find(({ value }) => value === node);
  return ['0 °C', '0 K'].map((zero) => ({
    title: `Add \`${key}: ${zero}\``,
    safety: 'choice',
    edits: [insertEntry(mapping, key, { line: zero }, after)],
  }));
}
