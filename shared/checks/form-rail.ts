import type { QuantityValue } from '../configuration/values.ts';
import type { Found, Subject } from './check.ts';
import { nameOf, rewriting, withoutReference } from './form-words.ts';

/** Rail pressures that are bare, under a regulator that holds the rail above ambient. */
export function* bareRails(subject: Subject): Iterable<Found> {
  for (const { node, quantity } of railPressures(subject, 'fixed')) {
    if (quantity.reference === 'gauge') continue;
    const end = node.text.trimEnd().length;
    yield {
      at: node,
      message: `A fixed regulator holds the rail above ambient: ${nameOf(node)} is a gauge pressure.`,
      fixes: [rewriting(node, [end, end], ' gauge', 'choice')],
    };
  }
}

/** Rail pressures over ambient, under a regulator that holds the rail over the manifold: there it is a difference. */
export function* gaugeRails(subject: Subject): Iterable<Found> {
  for (const pressure of railPressures(subject, 'manifold-referenced')) {
    if (pressure.quantity.reference !== 'gauge') continue;
    const { node } = pressure;
    yield {
      at: node,
      message: `A manifold-referenced regulator holds the rail over the manifold: ${nameOf(node)} is a pressure difference.`,
      fixes: [withoutReference(pressure)],
    };
  }
}

function* railPressures({ installation }: Subject, regulator: string): Iterable<QuantityValue> {
  for (const { configuration } of installation?.engines ?? []) {
    const rail = configuration.fuel?.rail;
    if (rail?.regulator?.text !== regulator) continue;
    for (const value of [rail.pressure, rail.fault_pressure]) if (value) yield value;
  }
}
