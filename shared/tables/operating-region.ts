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

/** The position of an operating point on a table, and the value read there. Canonical units, in the references of the axes. */
export interface PointOnTable {
  readonly name: string;
  readonly x: number;
  readonly y: number | undefined;
  readonly value: number;
}

/** The operating points that use the table and whose position on it is known. */
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

/** A corner of the boundary that the engine cannot exceed; without `y`, at any y. Canonical units. */
export interface ReachCorner {
  readonly speed: number;
  readonly y: number | undefined;
}

/**
 * The part of a table over engine speed that the engine reaches: up to maximum speed, and over manifold pressure up to the
 * highest pressure that can be commanded and supplied at each speed, at sea level on a standard day. Empty for tables
 * over anything else.
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

/** Whether an engine with its map set uses this table. */
function uses(engine: Engine, table: TableValue): boolean {
  return tablesOfEngine(engine).some(({ node }) => node === table.node);
}
