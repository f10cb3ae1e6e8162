import { counted } from '../counted.ts';
import { replace } from '../source/edit.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { listed } from './words.ts';

/** Usual firing orders. The reverse is equally usual, for an engine that turns the other way. */
const usualOrders: Readonly<Record<string, readonly string[]>> = {
  'inline 2': ['1-2'],
  'inline 3': ['1-2-3'],
  'inline 4': ['1-3-4-2'],
  'inline 5': ['1-2-4-5-3'],
  'inline 6': ['1-5-3-6-2-4'],
  'opposed 2': ['1-2'],
  'opposed 4': ['1-3-2-4', '1-4-3-2'],
  'opposed 6': ['1-4-5-2-3-6', '1-6-2-4-3-5'],
  'vee 2': ['1-2'],
  'vee 4': ['1-3-2-4', '1-3-4-2'],
  'vee 6': ['1-2-3-4-5-6', '1-4-2-5-3-6', '1-4-3-6-2-5', '1-6-5-4-3-2'],
  'vee 8': ['1-8-4-3-6-5-7-2', '1-8-7-2-6-5-4-3', '1-5-4-8-6-3-7-2', '1-3-7-2-6-5-4-8', '1-5-4-2-6-3-7-8'],
  'vee 12': ['1-7-5-11-3-9-6-12-2-8-4-10', '1-12-5-8-3-10-6-7-2-11-4-9'],
};

/** The same order, starting with cylinder 1. */
function fromFirst(order: readonly number[]): number[] {
  const at = order.indexOf(1);
  return [...order.slice(at), ...order.slice(0, at)];
}

function isUsual(order: readonly number[], usual: readonly string[]): boolean {
  return [order, [...order].reverse()].some((one) => usual.includes(fromFirst(one).join('-')));
}

const cylindersText = (cylinders: readonly number[]): string =>
  `cylinder${cylinders.length === 1 ? '' : 's'} ${listed(cylinders.map(String))}`;

/** More cylinders than any engine has. Other checks report such a number, which is too large to make a list of. */
const MOST_CYLINDERS = 64;

/** The reasons why a list does not name each cylinder exactly once. */
function permutationFaults(order: readonly number[], cylinders: number): string[] {
  const wanted = Array.from({ length: cylinders }, (_, i) => i + 1);
  const missing = wanted.filter((one) => !order.includes(one));
  const repeated = wanted.filter((one) => order.indexOf(one) !== order.lastIndexOf(one));
  const strange = [...new Set(order.filter((one) => !wanted.includes(one)))];
  return [
    repeated.length > 0 ? `names ${cylindersText(repeated)} more than once` : '',
    strange.length > 0
      ? `names ${cylindersText(strange)}, which ${strange.length === 1 ? 'does' : 'do'} not exist`
      : '',
    missing.length > 0 ? `omits ${cylindersText(missing)}` : '',
  ].filter(Boolean);
}

/**
 * Two cylinders of an inline four or six that fire one revolution apart although their pistons do not move together: in the usual
 * crankshaft, the first moves with the last, the second with the last but one.
 */
function unpairedCylinders(order: readonly number[]): readonly [number, number] | undefined {
  const half = order.length / 2;
  if (order.length !== 4 && order.length !== 6) return undefined;
  const index = order.slice(0, half).findIndex((one, i) => one + order[i + half]! !== order.length + 1);
  return index < 0 ? undefined : [order[index]!, order[index + half]!];
}

export const firingOrderInvalid: Check = engineCheck({
  id: 'firing-order-invalid',
  severity: 'error',
  title: 'Firing order does not match engine',
  page: {
    catches:
      'A firing order that does not name each cylinder exactly once. It is a warning if an inline four or six fires two cylinders one revolution apart whose pistons do not move together. As information, a firing order that does not begin with cylinder 1 or is not usual for the layout.',
    why: 'Spark and fuel go to the cylinders in this order. If it is wrong, a cylinder fires on its intake stroke, into the manifold.',
    example: 'engine:\n  cylinders: 4\n  firing_order: [1, 3, 4, 3]',
    remedy:
      'Write the order in which the cylinders fire, each once, beginning with 1. An unusual order is correct if the crankshaft has it; check it on the engine.',
    basis: 'The meaning of the key. The list of usual orders is common practice, no source.',
  },
  *find({ installation: { configuration } }): Generator<Found> {
    const { firing_order: written, cylinders, layout } = configuration.engine ?? {};
    if (!written || !cylinders || cylinders.canonical > MOST_CYLINDERS) return;
    if (written.items.length < written.node.items.length) return;
    const order = written.items.map((one) => one.canonical);
    const faults = permutationFaults(order, cylinders.canonical);
    if (faults.length > 0) {
      yield {
        at: written.node,
        message: `The firing order for ${counted(cylinders.canonical, 'cylinder')} ${listed(faults)}.`,
        related: [{ at: cylinders.node, message: 'The number of cylinders.' }],
      };
      return;
    }
    if (order[0] !== 1) {
      const rewritten = `[${fromFirst(order).join(', ')}]`;
      yield {
        at: written.node,
        severity: 'information',
        message: `The firing order begins with cylinder ${order[0]}. Angles are counted from cylinder 1, so the order usually begins there.`,
        fixes: written.node.flow
          ? [
              {
                title: `Change to ${rewritten}, beginning with cylinder 1`,
                safety: 'choice',
                edits: [replace(written.node, rewritten)],
              },
            ]
          : [],
      };
    }
    const usual = layout && usualOrders[`${layout.text} ${cylinders.canonical}`];
    if (!usual || isUsual(order, usual)) return;
    const unpaired = layout.text === 'inline' ? unpairedCylinders(order) : undefined;
    if (unpaired) {
      const [one, other] = unpaired;
      yield {
        at: written.node,
        severity: 'warning',
        message: `In the order ${order.join('-')}, cylinders ${one} and ${other} fire one revolution apart, so their pistons would have to move together. In an inline engine with ${counted(order.length, 'cylinder')} they do not (usual: ${usual.join(', ')}, or the reverse).`,
        related: [{ at: layout.node, message: 'The layout.' }],
      };
      return;
    }
    yield {
      at: written.node,
      severity: 'information',
      message: `${order.join('-')} is not a usual firing order for layout \`${layout.text}\` with ${counted(cylinders.canonical, 'cylinder')} (usual: ${usual.join(', ')}, or the reverse).`,
      related: [{ at: layout.node, message: 'The layout.' }],
    };
  },
});
