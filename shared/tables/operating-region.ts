import { tablesOfEngine } from '../checks/tables.ts';
import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import { type Axis, nodeOf, type TableValue } from '../configuration/values.ts';
import { boostPressure, manifoldPressure, pressureOnAxis } from '../derived/charge-air.ts';
import type { Derivation } from '../derived/derivation.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { watchedValue } from '../derived/protection.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { envelopeOf } from '../proof/envelope.ts';
import { StateSpace } from '../proof/state-space.ts';

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

/** What the envelope reaches of a table at one speed; without `low` and `high`, any y. Canonical units. */
export interface Reach {
  readonly speed: number;
  readonly low: number | undefined;
  readonly high: number | undefined;
}

/**
 * The part of a table over engine speed that some state of the envelope reaches: between its speeds and, over manifold
 * pressure, from its lowest pressure up to the highest at each speed, in every map set that uses the table. Ascending;
 * empty for tables over anything else, and if the envelope is unknown.
 */
export function reachOn(derivation: Derivation, table: TableValue): Reach[] {
  if (table.x?.quantity !== 'engine_speed') return [];
  const users = derivation.once(spacesOf).filter(({ engine }) => uses(engine, table));
  const ends = users.flatMap(({ envelope: { ranges } }) => [ranges.speed.low, ranges.speed.high]);
  if (ends.length === 0) return [];
  const [lowest, highest] = [minimumOf(ends), maximumOf(ends)];
  const targets = users.flatMap(({ engine }) => engine.configuration.boost?.target?.x?.breakpoints ?? []);
  const between = [...table.x.breakpoints, ...targets].filter((speed) => lowest < speed && speed < highest);
  const speeds = [...new Set([lowest, ...between, highest])].sort((a, b) => a - b);
  const { y } = table;
  if (y?.quantity !== 'manifold_pressure') {
    const isAny = y === undefined || y.quantity === 'throttle_position';
    return isAny ? speeds.map((speed) => ({ speed, low: undefined, high: undefined })) : [];
  }
  const pressure = y.reference === 'gauge' ? boostPressure : manifoldPressure;
  return speeds.flatMap((speed) => {
    const ranges = users.flatMap((space) => space.rangeAtSpeed(pressure, speed) ?? []);
    if (ranges.length === 0) return [];
    return [
      {
        speed,
        low: minimumOf(ranges.map(({ low }) => low)),
        high: maximumOf(ranges.map(({ high }) => high)),
      },
    ];
  });
}

/** The states of each map set. */
function spacesOf({ installation, points }: Derivation): readonly StateSpace[] {
  return installation.selectable.flatMap((engine) => {
    const envelope = envelopeOf(engine, points);
    const place = engine.configuration.engine;
    return (envelope && place && StateSpace.of(engine, envelope, nodeOf(place))) ?? [];
  });
}

/** How many cells of a map some state of the envelope reaches. Cells beyond matter only for interpolation, or not at all. */
export interface Coverage {
  readonly reached: number;
  readonly cells: number;
}

/** The coverage of a map over speed and manifold pressure or throttle; undefined if its reach is unknown. */
export function coverageOf(derivation: Derivation, map: TableValue): Coverage | undefined {
  const { x, y } = map;
  if (!map.cells || !x || !y) return undefined;
  const reach = new Map(reachOn(derivation, map).map((one) => [one.speed, one]));
  if (reach.size === 0) return undefined;
  const reached = x.breakpoints.flatMap((speed) => {
    const at = reach.get(speed);
    if (!at) return [];
    const { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY } = at;
    return y.breakpoints.filter((row) => low <= row && row <= high);
  });
  return { reached: reached.length, cells: map.cells.length };
}

/** Whether an engine with its map set uses this table. */
function uses(engine: Engine, table: TableValue): boolean {
  return tablesOfEngine(engine).some(({ node }) => node === table.node);
}
