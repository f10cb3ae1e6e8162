import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Derivation } from '../../shared/derived/derivation.ts';
import { furtherOf, type Side } from '../../shared/proof/bound.ts';
import { signedBound } from '../../shared/proof/words.ts';
import type { Node } from '../../shared/source/tree.ts';
import type { Proved } from '../bound-words.ts';
import { boundsPage } from './bound-page.ts';
import type { PlacedPart, Sight } from './hint-part.ts';

/** The bounds shown in the text, each beside what determines the value. */
const SHOWN: readonly {
  readonly id: string;
  readonly side: Side;
  /** What the number is, where that is not clear from its place. */
  readonly what?: string;
  place(configuration: EngineConfiguration): Node | undefined;
}[] = [
  { id: 'injector_duty', side: 'high', place: ({ fuel }) => fuel?.injectors?.static_flow?.node },
  { id: 'manifold_pressure', side: 'high', place: ({ boost }) => boost?.target?.node },
  { id: 'ignition_advance', side: 'high', place: ({ ignition }) => ignition?.advance?.node },
  {
    id: 'dwell_share_at_speed',
    side: 'high',
    what: 'share ',
    place: ({ ignition }) => ignition?.dwell?.node,
  },
];

/** The bounds without a fault as hints; if several map sets have a bound at one place, only the furthest one. */
export function boundParts(
  { installation }: Derivation,
  { bounds, isCurrent }: Proved,
  { chunks, holds }: Sight,
): PlacedPart[] {
  return SHOWN.flatMap(({ id, side, what = '', place }) => {
    const own = bounds.filter((bound) => bound.id === id && bound.side === side && bound.fault === undefined);
    const byPlace = new Map<Node, typeof own>();
    for (const { mapSet, configuration } of installation.selectable) {
      const node = place(configuration);
      if (!node || !chunks.includes(node.chunk) || !holds(node)) continue;
      const some = own.filter((bound) => bound.mapSet === mapSet);
      if (some.length > 0) byPlace.set(node, [...(byPlace.get(node) ?? []), ...some]);
    }
    return [...byPlace].map(
      ([node, some]): PlacedPart => [
        node,
        {
          text: `${what}${signedBound(some.reduce(furtherOf), HINT_DIGITS)} ${isCurrent ? 'everywhere' : 'before the last edit'}`,
          words: () => boundsPage({ bounds: some, isCurrent }) ?? '',
          inputs: () => some.flatMap(({ limit }) => limit.node ?? []),
        },
      ],
    );
  });
}

const HINT_DIGITS = 3;
