import type { Engine } from '../configuration/installation.ts';
import type { TableValue } from '../configuration/values.ts';
import { absoluteBreakpoints, highestManifoldPressure } from './full-load.ts';

/** How many cells of a map the engine reaches, at sea level on the standard day. */
export interface Coverage {
  readonly reached: number;
  readonly cells: number;
}

/**
 * A map over engine speed: its cells up to `maximum_speed` and, where its rows are manifold pressures, up to the highest
 * that can be commanded and supplied at the speed of the column. Cells beyond only affect interpolation next to these, or
 * nothing. Undefined if the map is incomplete or the limits of the engine are not stated.
 */
export function coverageOf(engine: Engine, map: TableValue): Coverage | undefined {
  const maximum = engine.configuration.engine?.maximum_speed?.canonical;
  if (!map.cells || map.x?.quantity !== 'engine_speed' || !map.y || maximum === undefined) return undefined;
  const isPressure = map.y.quantity === 'manifold_pressure';
  if (!isPressure && map.y.quantity !== 'throttle_position') return undefined;
  const rows = absoluteBreakpoints(map.y);
  let reached = 0;
  for (const speed of map.x.breakpoints) {
    if (speed > maximum) continue;
    const highest = isPressure ? highestManifoldPressure(engine, speed) : Number.POSITIVE_INFINITY;
    if (highest === undefined) return undefined;
    reached += rows.filter((row) => row <= highest).length;
  }
  return { reached, cells: map.cells.length };
}
