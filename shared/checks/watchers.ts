import type { EngineConfiguration } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import { nodeOf } from '../configuration/values.ts';
import { messagesOf, type NamedMessage, signalsOf } from '../derived/bus-signals.ts';
import { isStatus } from '../derived/bus-states.ts';
import { RANGED_LOOPS } from '../derived/loops.ts';
import { memo, memoMap } from '../memo.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { keyNode } from '../source/source-file.ts';
import { type Node, type PathStep, pathOf } from '../source/tree.ts';
import type { PlacedTable } from './check.ts';
import { nameOf, quote } from './form-words.ts';

type Section<Name extends keyof EngineConfiguration> = NonNullable<EngineConfiguration[Name]>;

/** What requires a quantity to be measured. */
export interface Watcher {
  readonly quantity: string;
  readonly at: Node;
  readonly who: string;
  /** Whether the controller cannot compute fuel or spark without it. */
  readonly isVital?: boolean;
}

const watchersOfProtection = memo((protection: Section<'protection'>): readonly Watcher[] =>
  Object.entries(protection).flatMap(([name, { watches }]) =>
    watches ? [{ quantity: watches.text, at: watches.node, who: `The limit ${quote(name)} watches` }] : [],
  ),
);

const carriedByEach = memoMap(({ message }: NamedMessage): readonly Watcher[] => {
  const node = nodeOf(message);
  const who = `The message ${quote(String(node.step))} carries`;
  return signalsOf(message).flatMap(({ name: quantity, signal }) => {
    const node = nodeOf(signal);
    return isStatus(signal) ? [] : [{ quantity, at: keyNode(node), who }];
  });
});

const watchersOfLoops = memo((loops: Section<'closed_loop'>): readonly Watcher[] => {
  const exhaust = loops.exhaust_gas_temperature && nodeOf(loops.exhaust_gas_temperature);
  return [
    ...(exhaust
      ? [
          {
            quantity: 'exhaust_gas_temperature',
            at: keyNode(exhaust),
            who: 'The exhaust temperature loop uses',
          },
        ]
      : []),
    ...RANGED_LOOPS.flatMap(([name, title]) => {
      const warm = loops[name]?.active_above;
      return warm ? [{ quantity: 'coolant_temperature', at: warm.node, who: `The ${title} loop uses` }] : [];
    }),
  ];
});

/** The quantities of the axes of a curve or map of fuel, spark and boost. */
export const watchersOfTables = memoMap(({ table }: PlacedTable): readonly Watcher[] => {
  if (!isVital(table.node)) return NO_WATCHERS;
  return [table.x, table.y].flatMap((axis) => {
    if (!axis || measuredQuantity(axis.quantity) === undefined) return [];
    const at = axis.node.entry('quantity')?.value ?? axis.node;
    return [
      { quantity: axis.quantity, at, who: `${capital(nameOf(table.node))} is a table over`, isVital: true },
    ];
  });
});

const NO_WATCHERS: readonly Watcher[] = [];

const COMPUTED: ReadonlySet<PathStep | undefined> = new Set(['fuel', 'ignition', 'boost']);

/** Whether the controller computes fuel, spark or boost from a table there, in a map set or outside. */
function isVital(node: Node): boolean {
  const path = pathOf(node);
  return COMPUTED.has(path[path.indexOf('apply') + 1]);
}

const watchersOfBoost = memo(({ servo }: Section<'boost'>): readonly Watcher[] => {
  const feedback = servo?.feedback;
  return feedback ? [{ quantity: feedback.text, at: feedback.node, who: 'The boost servo uses' }] : [];
});

/** What requires a quantity to be measured, in any of several engines. The lists survive edits elsewhere. */
export function watchers(engines: readonly EngineConfiguration[]): (readonly Watcher[])[] {
  const each = <Name extends keyof EngineConfiguration>(name: Name): Section<Name>[] =>
    [...new Set(engines.map((engine) => engine[name]))].filter((section) => section !== undefined);
  return [
    ...each('protection').map(watchersOfProtection),
    ...each('bus').flatMap((bus) => carriedByEach(messagesOf({ bus }), undefined)),
    ...each('closed_loop').map(watchersOfLoops),
    ...each('boost').map(watchersOfBoost),
  ];
}
