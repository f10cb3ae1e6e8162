import type { QuantityValue } from '../configuration/values.ts';
import type { Found, Subject } from './check.ts';
import { blanksBefore, nameOf, rewriting } from './form-words.ts';

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
  for (const { node, quantity } of railPressures(subject, 'manifold-referenced')) {
    if (quantity.reference !== 'gauge') continue;
    const start = blanksBefore(node.text, node.text.lastIndexOf('gauge'));
    yield {
      at: node,
      message: `A manifold-referenced regulator holds the rail over the manifold: ${nameOf(node)} is a pressure difference.`,
      fixes: [rewriting(node, [start, node.text.length], '', 'choice')],
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
