import type { Engine } from '../configuration/installation.ts';
import type { TableValue } from '../configuration/values.ts';
import type { Node } from '../source/tree.ts';
import {
  type Conditions,
  DEFAULT_COOLANT_TEMPERATURE,
  nominalVoltage,
  OperatingPoint,
} from './operating-point.ts';
import type { Operand } from './value.ts';

/**
 * The engine in the state of one map cell: at a speed and manifold pressure, warm, at sea level, at nominal supply
 * voltage. `manifoldPressure` is absolute, in Pa.
 */
export function heldAt(
  engine: Engine,
  node: Node,
  speed: Operand,
  manifoldPressure: Operand,
): OperatingPoint {
  return atSeaLevel(engine, node, { speed, manifoldPressure, throttle: undefined });
}

/** The warm engine at sea level, at a stated manifold pressure or with the one that follows from the throttle. */
export function atSeaLevel(
  engine: Engine,
  node: Node,
  load: Pick<Conditions, 'speed' | 'throttle' | 'manifoldPressure'>,
): OperatingPoint {
  // Thousands of these are created, so everything that they can share is created once.
  const conditions: Conditions = {
    speed: load.speed,
    throttle: load.throttle,
    manifoldPressure: load.manifoldPressure,
    pressureAltitude: SEA_LEVEL,
    isaDeviation: STANDARD_DAY,
    lambda: undefined,
    coolantTemperature: WARM,
    batteryVoltage: nominalVoltage(engine.configuration),
  };
  return new OperatingPoint('', engine, conditions, node);
}

const SEA_LEVEL: Operand = { canonical: 0, how: 'sea level' };
const STANDARD_DAY: Operand = { canonical: 0, how: 'standard day' };
const WARM: Operand = { canonical: DEFAULT_COOLANT_TEMPERATURE, how: 'warm engine' };

/** The engine at a cell of a map over speed and manifold pressure; undefined for a map with other axes. */
export function cellPoint(
  engine: Engine,
  map: TableValue,
  row: number,
  column: number,
): OperatingPoint | undefined {
  const speed = map.x?.breakpoints[column];
  const pressure = map.y?.breakpoints[row];
  const cell = map.rows[row]?.[column];
  const fits = map.x?.quantity === 'engine_speed' && map.y?.quantity === 'manifold_pressure';
  if (!fits || speed === undefined || pressure === undefined || !cell || map.y?.reference === 'gauge')
    return undefined;
  return heldAt(engine, cell, { canonical: speed, how: 'column' }, { canonical: pressure, how: 'row' });
}
