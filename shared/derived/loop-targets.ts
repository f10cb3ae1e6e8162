import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import { maximumOf } from '../extremes.ts';
import { formatStated } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';
import { SEA_LEVEL } from './full-load.ts';

/** A target of a loop, in canonical units, where it is written. */
export interface LoopTarget {
  readonly canonical: number;
  readonly node: Node;
  readonly text: string;
}

/** The highest target of the exhaust temperature loop, in K. */
export function highestExhaustTarget({
  closed_loop: loops,
}: Pick<EngineConfiguration, 'closed_loop'>): LoopTarget | undefined {
  const target = loops?.exhaust_gas_temperature?.target;
  if (target?.type === 'quantity')
    return { canonical: target.canonical, node: target.node, text: target.node.text };
  if (!target?.cells || target.cells.length === 0) return undefined;
  const canonical = maximumOf(target.cells);
  const node = target.rows.flat()[target.cells.indexOf(canonical)] ?? target.node;
  return { canonical, node, text: formatStated(canonical, '°C') };
}

/** A target lambda, with its engine speed (rpm) and manifold pressure (Pa, absolute). */
export interface LambdaTarget {
  readonly lambda: number;
  readonly speed: number;
  readonly pressure: number;
  /** The cell or, between cells, the map. */
  readonly node: Node;
}

/**
 * The target lambda at the breakpoints of the map and at the ends of the ranges in which the lambda loop works, up to a manifold
 * pressure (Pa, absolute). Between them the map is bilinear, so the lowest and the highest are those of all states there.
 * Without a loop the whole map counts; empty if the loop works nowhere or the map is incomplete. A gauge axis counts at sea level.
 */
export function lambdaTargets(
  { configuration: { fuel, closed_loop: loops } }: Pick<Engine, 'configuration'>,
  highest = Number.POSITIVE_INFINITY,
): readonly LambdaTarget[] {
  const map = fuel?.target_lambda;
  if (!map?.cells || !map.x || !map.y) return [];
  const { x, y } = map;
  const offset = y.reference === 'gauge' ? SEA_LEVEL : 0;
  const { speed, manifold_pressure: load } = loops?.lambda ?? {};
  const speeds = within(x.breakpoints, speed?.low.canonical, speed?.high.canonical);
  const most = Math.min(highest, load?.high.canonical ?? highest);
  const heights = within(y.breakpoints, load && load.low.canonical - offset, most - offset);
  return heights.flatMap((height) =>
    speeds.flatMap((at) => {
      const lambda = lookUp(map, at, height);
      if (lambda === undefined) return [];
      const node = map.rows[y.breakpoints.indexOf(height)]?.[x.breakpoints.indexOf(at)] ?? map.node;
      return [{ lambda, speed: at, pressure: height + offset, node }];
    }),
  );
}

/** Breakpoints moved into a range, each once; none if the range is empty. */
function within(breakpoints: readonly number[], low = -Infinity, high = Infinity): number[] {
  return low > high ? [] : [...new Set(breakpoints.map((one) => Math.min(Math.max(one, low), high)))];
}
