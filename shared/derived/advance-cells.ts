import type { Engine } from '../configuration/installation.ts';
import type { ScalarNode } from '../source/tree.ts';
import { heldAt } from './cell.ts';
import { absoluteBreakpoints, highestManifoldPressure } from './full-load.ts';
import type { OperatingPoint } from './operating-point.ts';

/** A cell of the advance map, with the reachable engine state nearest to it, at sea level. */
export interface AdvanceCell {
  readonly cell: ScalarNode;
  readonly point: OperatingPoint;
  /** At the highest manifold pressure that can be reached at this speed. */
  readonly fullLoad: boolean;
}

/**
 * The cells of the advance map that the engine reaches, or between which it interpolates: up to maximum speed and the
 * highest manifold pressure at each speed. The first row above that pressure affects interpolation, and the last row also
 * applies above it, so both are taken at that pressure. Not cached, because thousands of points with their results take
 * much memory.
 */
export function reachedAdvanceCells(engine: Engine): readonly AdvanceCell[] {
  const map = engine.configuration.ignition?.advance;
  const { x, y } = map ?? {};
  if (!map?.cells || !x || !y) return [];
  const rows = absoluteBreakpoints(y);
  const maximum = engine.configuration.engine?.maximum_speed?.canonical ?? Number.POSITIVE_INFINITY;
  return x.breakpoints.flatMap((breakpoint, j) => {
    if (breakpoint > maximum && (x.breakpoints[j - 1] ?? 0) >= maximum) return [];
    const speed = Math.min(breakpoint, maximum);
    const highest = highestManifoldPressure(engine, speed);
    if (highest === undefined) return [];
    const isLast = (i: number) => i === rows.length - 1 || rows[i]! >= highest;
    return rows.slice(0, rows.findIndex((_, i) => isLast(i)) + 1).map((row, i) => {
      const cell = map.rows[i]![j]!;
      const pressure = isLast(i) ? highest : row;
      const point = heldAt(engine, cell, { canonical: speed }, { canonical: pressure });
      return { cell, point, fullLoad: isLast(i) };
    });
  });
}
