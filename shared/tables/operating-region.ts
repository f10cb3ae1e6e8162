import { tablesOfEngine } from '../checks/tables.ts';
import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { pressureOnAxis } from '../derived/charge-air.ts';
import type { Derivation } from '../derived/derivation.ts';
import { highestManifoldPressure, SEA_LEVEL } from '../derived/full-load.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { watchedValue } from '../derived/protection.ts';
import { maximumOf } from '../extremes.ts';

/** Where an operating point stands on a table, and what it reads there. Canonical units, in the axes' references. */
export interface PointOnTable {
  readonly name: string;
  readonly x: number;
  readonly y: number | undefined;
  readonly value: number;
}

/** The operating points that use the table and whose place on it is known. */
export function pointsOn(derivation: Derivation, table: TableValue): PointOnTable[] {
  return derivation.points.flatMap((point) => {
    if (!uses(point.engine, table)) return [];
    const x = placeOf(point, table.x, table);
    const y = placeOf(point, table.y, table);
    if (x === undefined || (table.isMap && y === undefined)) return [];
    const value = lookUp(table, x, y);
    return value === undefined ? [] : [{ name: point.name, x, y, value }];
  });
}

function placeOf(point: OperatingPoint, axis: Axis | undefined, table: TableValue): number | undefined {
  if (!axis) return undefined;
  const found =
    axis.quantity === 'manifold_pressure'
      ? pressureOnAxis(point, axis)
      : watchedValue(point, axis.quantity, table);
  return found?.canonical;
}

/** A corner of the line above or beyond which the engine cannot be brought; without `y`, at any. Canonical units. */
export interface ReachCorner {
  readonly speed: number;
  readonly y: number | undefined;
}

/**
 * How far the engine reaches on a table over its speed: to maximum speed, and over manifold pressure to the highest that can
 * be commanded and supplied at each speed, at sea level on a standard day. Empty for tables over anything else.
 */
export function reachOn(derivation: Derivation, table: TableValue): ReachCorner[] {
  const { engines } = derivation.installation;
  if (table.x?.quantity !== 'engine_speed') return [];
  const users = engines.filter((engine) => uses(engine, table));
  const maximum = users[0]?.configuration.engine?.maximum_speed?.canonical;
  if (maximum === undefined) return [];
  if (table.y?.quantity !== 'manifold_pressure') return [{ speed: maximum, y: undefined }];
  const offset = table.y.reference === 'gauge' ? SEA_LEVEL : 0;
  const targets = users.flatMap(({ configuration }) => configuration.boost?.target?.x?.breakpoints ?? []);
  const speeds = new Set([...table.x.breakpoints, ...targets].filter((speed) => speed < maximum));
  return [...speeds, maximum]
    .sort((a, b) => a - b)
    .flatMap((speed) => {
      const highest = users
        .map((engine) => highestManifoldPressure(engine, speed))
        .filter((pressure) => pressure !== undefined);
      return highest.length > 0 ? [{ speed, y: maximumOf(highest) - offset }] : [];
    });
}

/** Whether an engine, as its map set makes it, goes by what stands here. */
function uses(engine: Engine, table: TableValue): boolean {
  return tablesOfEngine(engine).some(({ node }) => node === table.node);
}
