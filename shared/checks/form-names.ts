import { ofEachReading, type ReadingOf } from '../configuration/readings.ts';
import { type Shape, shapeAt } from '../configuration/shape.ts';
import type { Axis } from '../configuration/values.ts';
import { measuredQuantities, measuredQuantity, nearestWord } from '../quantity/index.ts';
import { pathOf, type ScalarNode } from '../source/tree.ts';
import { type Fix, fileCheck } from './check.ts';
import { capital, listOf, nameOf, PLACEHOLDER, quote, rewriting } from './form-words.ts';

interface QuantityName {
  readonly node: ScalarNode;
  /** What the table along whose axis it stands allows there. */
  readonly allowed: readonly string[] | undefined;
}

/** Every place that a reading names a quantity in, axes included. */
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
  title: 'A quantity that is not known',
  page: {
    catches:
      'A name under `measures`, `watches` or the `quantity` of an axis that is none of the quantities that there are.',
    why: 'A sensor of an unknown quantity feeds nothing, and a limit that watches one never trips.',
    example: 'protection:\n  oil: { watches: oil_presure, below: { warning: 1 bar gauge } }',
    remedy:
      'Take one of the known names. One of several alike carries its number: `exhaust_gas_temperature[2]`.',
    basis: 'The format of the file.',
  },
  *find({ read, rootShape, path }) {
    for (const { node } of unknownEach(read, rootShape)) {
      if (node.chunk.file !== path) continue;
      if (node.text.includes(PLACEHOLDER)) {
        yield {
          at: node,
          message: `${capital(nameOf(node))} is still to be filled in; it takes the name of a quantity.`,
        };
        continue;
      }
      const nearest = nearestWord(
        node.text,
        measuredQuantities.map(({ name }) => name),
      );
      const fixes = nearest === undefined ? [] : [whole(node, nearest)];
      yield { at: node, message: `There is no quantity ${quote(node.text)}.`, fixes };
    }
  },
});

const unknownEach = ofEachReading(['text', 'table'], (reading, root: Shape) =>
  quantityNames(reading, root).filter(({ node }) => !measuredQuantity(node.text)),
);

export const axisOfWrongQuantity = fileCheck({
  id: 'axis-of-wrong-quantity',
  severity: 'error',
  title: 'A table over a quantity by which it is not looked up',
  page: {
    catches:
      'An axis of a curve or map whose quantity is not the one by which the controller looks this table up.',
    why:
      'A fuel map with its axes exchanged, or over throttle where manifold pressure is meant, gives a number for every ' +
      'condition and the wrong one for nearly all. Such a table is not used for anything computed here.',
    example:
      'fuel:\n  injectors:\n    dead_time: { x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 2000] }, unit: ms, values: [1, 1] }',
    remedy: 'Write the quantity that belongs there, with its breakpoints and unit.',
    basis: 'The format of the file.',
  },
  *find({ read, rootShape, path }) {
    for (const { node, allowed } of misplacedEach(read, rootShape)) {
      if (node.chunk.file !== path) continue;
      const wanted = listOf(allowed!.map(quote), 'or');
      yield {
        at: node,
        message: `${capital(nameOf(node))} is ${quote(node.text)}; this table goes over ${wanted} there.`,
      };
    }
  },
});

const misplacedEach = ofEachReading(['table'], (reading, root: Shape) =>
  quantityNames(reading, root).filter(({ node, allowed }) => {
    const named = measuredQuantity(node.text)?.entry.name;
    return named && allowed && !allowed.includes('any') && !allowed.includes(named);
  }),
);

const whole = (node: ScalarNode, text: string): Fix => rewriting(node, [0, node.text.length], text, 'choice');
