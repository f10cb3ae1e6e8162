import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import { ambientPressure } from '../physics/atmosphere.ts';
import { heldAt } from './cell.ts';
import { availableManifoldPressure, intakeLoss } from './charge-air.ts';
import { airEngine } from './core-engine.ts';

/** Sea level of the standard atmosphere, in Pa. */
export const SEA_LEVEL = ambientPressure({ altitude: 0 });

/** The manifold pressures of an axis in Pa absolute; gauge pressures are converted at sea level. */
export function absoluteBreakpoints(axis: Axis | undefined): readonly number[] {
  if (axis?.reference !== 'gauge') return axis?.breakpoints ?? [];
  return axis.breakpoints.map((point) => point + SEA_LEVEL);
}

/** The highest manifold pressure (Pa, absolute) that the engine reaches at a speed (rpm) at sea level on the standard day. */
export function highestManifoldPressure(engine: Engine, speed: number): number | undefined {
  return fullLoadPressure(airEngine(engine), speed);
}

const fullLoadPressure = memo((engine: Engine, speed: number): number | undefined => {
  const { boost } = engine.configuration;
  if (!boost) return SEA_LEVEL - intakeLoss(engine.configuration).canonical;
  const target = boost.target && highestTarget(boost.target, speed);
  if (target === undefined) return undefined;
  const probe = heldAt(engine, boost.target!.node, { canonical: speed }, { canonical: target });
  const available = probe.get(availableManifoldPressure)?.canonical;
  return available === undefined ? target : Math.min(target, available);
});

/** The highest target at a speed over every throttle position, as absolute pressure at sea level. */
function highestTarget(target: TableValue, speed: number): number | undefined {
  if (!target.cells || !target.y) return undefined;
  const offset = target.reference === 'gauge' ? SEA_LEVEL : 0;
  const along = target.y.breakpoints.map((throttle) => lookUp(target, speed, throttle)!);
  return maximumOf(along) + offset;
}
