import { capital } from '../capital.ts';
import type { QuantityValue } from '../configuration/values.ts';
import type { Found, Subject } from './check.ts';
import { nameOf, rewriting, withoutReference } from './form-words.ts';

/** Rail pressures without `gauge`, with a regulator that holds the rail above ambient. */
export function* bareRails(subject: Subject): Iterable<Found> {
  for (const { node, quantity } of railPressures(subject, 'fixed')) {
    if (quantity.reference === 'gauge') continue;
    const end = node.text.trimEnd().length;
    yield {
      at: node,
      message: `${capital(nameOf(node))} must be a gauge pressure, because a fixed regulator controls rail pressure relative to ambient.`,
      fixes: [rewriting(node, [end, end], ' gauge', 'choice')],
    };
  }
}

/** Rail pressures with `gauge`, with a regulator that holds the rail above the manifold, where it is a difference. */
export function* gaugeRails(subject: Subject): Iterable<Found> {
  for (const pressure of railPressures(subject, 'manifold-referenced')) {
    if (pressure.quantity.reference !== 'gauge') continue;
    const { node } = pressure;
    yield {
      at: node,
      message: `${capital(nameOf(node))} must be a pressure difference, without \`gauge\`, because a manifold-referenced regulator controls rail pressure relative to manifold pressure.`,
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
