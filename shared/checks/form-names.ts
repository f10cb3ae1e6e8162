import { capital } from '../capital.ts';
import { eachReading, type ReadingOf } from '../configuration/readings.ts';
import { type Shape, shapeAt } from '../configuration/shape.ts';
import type { Axis } from '../configuration/values.ts';
import { measuredQuantities, measuredQuantity, nearestWord } from '../quantity/index.ts';
import { pathOf, type ScalarNode } from '../source/tree.ts';
import { type Fix, fileCheck } from './check.ts';
import { listOf, nameOf, PLACEHOLDER, quote, rewriting } from './form-words.ts';

interface QuantityName {
  readonly node: ScalarNode;
  /** The quantities that the table allows on this axis. */
  readonly allowed: readonly string[] | undefined;
}

/** Every place of a reading that names a quantity, axes included. */
function quantityNames({ shape, value }: ReadingOf<'text' | 'table'>, root: Shape): readonly QuantityName[] {
  if (value.type === 'text')
    return shape.names === 'quantity' ? [{ node: value.node, allowed: undefined }] : [];
  const table = shapeAt(root, pathOf(value.node))?.table ?? shape.table;
  return [...axisName(value.x, table?.x), ...axisName(value.y, table?.y)];
}

function axisName(axis: Axis | undefined, allowed: readonly string[] | undefined): readonly QuantityName[] {
  const node = axis?.node.get('quantity');
  return node?.type === 'scalar' && node.style !== 'empty' ? [{ node, allowed }] : [];
}

export const quantityUnknown = fileCheck({
  id: 'quantity-unknown',
  severity: 'error',
  title: 'Unknown quantity',
  page: {
    catches: 'A name under `measures`, `watches` or the `quantity` of an axis that is not a known quantity.',
    why: 'The reading of a sensor for an unknown quantity is not used, and a limit that watches one never trips.',
    example: 'protection:\n  oil: { watches: oil_presure, below: { warning: 1 bar gauge } }',
    remedy:
      'Use one of the known names. For a quantity of one cylinder, add the cylinder number in brackets: `exhaust_gas_temperature[2]`.',
    basis: 'The file format.',
  },
  *find({ read, rootShape, path }) {
    for (const { node } of unknownEach(read, rootShape)) {
      if (node.chunk.file !== path) continue;
      if (node.text.includes(PLACEHOLDER)) {
        yield {
          at: node,
          message: `${capital(nameOf(node))} is still to be filled in; it must be the name of a quantity.`,
        };
        continue;
      }
      const nearest = nearestWord(
        node.text,
        measuredQuantities.map(({ name }) => name),
      );
      const fixes = nearest === undefined ? [] : [whole(node, nearest)];
      yield { at: node, message: `Unknown quantity ${quote(node.text)}.`, fixes };
    }
  },
});

const unknownEach = eachReading(['text', 'table'], (reading, root: Shape) =>
  quantityNames(reading, root).filter(({ node }) => !measuredQuantity(node.text)),
);

export const axisOfWrongQuantity = fileCheck({
  id: 'axis-of-wrong-quantity',
  severity: 'error',
  title: 'Wrong quantity on table axis',
  page: {
    catches:
      'An axis of a curve or map whose quantity is not the one that the controller uses to look up this table.',
    why:
      'A fuel map with swapped axes, or over throttle position instead of manifold pressure, gives a wrong number in nearly ' +
      'every condition. Such a table is not used in any calculation.',
    example:
      'fuel:\n  injectors:\n    dead_time: { x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 2000] }, unit: ms, values: [1, 1] }',
    remedy: 'Write the quantity that the message names, with its breakpoints and unit.',
    basis: 'The file format.',
  },
  *find({ read, rootShape, path }) {
    for (const { node, allowed } of misplacedEach(read, rootShape)) {
      if (node.chunk.file !== path) continue;
      const wanted = listOf(allowed!.map(quote), 'or');
      yield {
        at: node,
        message: `${capital(nameOf(node))} is ${quote(node.text)}; it must be ${wanted}.`,
      };
    }
  },
});

const misplacedEach = eachReading(['table'], (reading, root: Shape) =>
  quantityNames(reading, root).filter(({ node, allowed }) => {
    const named = measuredQuantity(node.text)?.entry.name;
    return named && allowed && !allowed.includes('any') && !allowed.includes(named);
  }),
);

const whole = (node: ScalarNode, text: string): Fix => rewriting(node, [0, node.text.length], text, 'choice');
