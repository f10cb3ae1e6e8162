import type { Engine } from '../configuration/installation.ts';
import type { Node } from '../source/tree.ts';
import { absoluteCut, targetCells } from './boost-target.ts';

/** The highest manifold pressure that the boost section commands or permits. */
export interface PressureDemand {
  /** Pa, absolute; gauge values are converted at sea level. */
  readonly canonical: number;
  readonly node: Node;
  readonly what: 'highest boost target' | 'overboost cut';
}

/** The greater of the highest cell of the boost target and the overboost cut; undefined without either. */
export function pressureDemand(engine: Engine): PressureDemand | undefined {
  const demands: PressureDemand[] = targetCells(engine).map(({ cell, target: { canonical } }) => ({
    canonical,
    node: cell,
    what: 'highest boost target',
  }));
  const cut = engine.configuration.boost?.overboost_cut;
  if (cut) demands.push({ canonical: absoluteCut(cut), node: cut.node, what: 'overboost cut' });
  return demands.reduce<PressureDemand | undefined>(
    (most, one) => (most && most.canonical >= one.canonical ? most : one),
    undefined,
  );
}
