import type { WhichTable } from '../configuration/lookup.ts';
import { lookedUp } from '../physics/formula.ts';
import * as physics from '../physics/servo.ts';
import { availableManifoldPressure, unboostedManifoldPressure } from './charge-air.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { apply, type MaybeOperand, type Operand } from './value.ts';

const baseMap: WhichTable = ({ boost }) => boost?.servo?.base_position;
const baseFormula = lookedUp('wastegate-base-position', 's_b', 'map at speed and throttle', '', '%');

export const wastegateBasePosition: PointValue = {
  id: 'wastegate_base_position',
  label: 'Wastegate base position',
  derive: (point) =>
    apply(baseFormula, { found: point.lookUp(baseMap, point.conditions.speed, point.conditions.throttle) }),
};

/** An end of the servo's travel, as its reading. */
function endOf(point: OperatingPoint, which: 'lowest' | 'highest'): Operand {
  const { closed_position: closed, open_position: open } = point.configuration.boost?.servo ?? {};
  const [low, high] = (closed?.canonical ?? 0) <= (open?.canonical ?? 1) ? [closed, open] : [open, closed];
  const whole = { canonical: which === 'lowest' ? 0 : 1, how: 'no end position stated' };
  return (which === 'lowest' ? low : high) ?? whole;
}

const authorityOf = (point: OperatingPoint): MaybeOperand =>
  point.configuration.boost?.servo?.authority ?? { canonical: 1, how: 'no authority stated' };

export const wastegateLowestPosition: PointValue = {
  id: 'wastegate_position_lowest',
  label: 'Lowest wastegate position of the boost loop',
  derive: (point) =>
    apply(physics.lowestServoPosition, {
      base: point.get(wastegateBasePosition),
      authority: authorityOf(point),
      end: endOf(point, 'lowest'),
    }),
};

export const wastegateHighestPosition: PointValue = {
  id: 'wastegate_position_highest',
  label: 'Highest wastegate position of the boost loop',
  derive: (point) =>
    apply(physics.highestServoPosition, {
      base: point.get(wastegateBasePosition),
      authority: authorityOf(point),
      end: endOf(point, 'highest'),
    }),
};

/** With the wastegate stuck closed, only the compressor limits manifold pressure, as far as the throttle lets it. */
export const pressureServoClosed: PointValue = {
  id: 'manifold_pressure_servo_closed',
  label: 'Manifold pressure with the wastegate stuck closed',
  derive: (point) =>
    point.configuration.boost?.servo ? point.get(availableManifoldPressure)?.result : undefined,
};

/** With the wastegate stuck open, the engine runs as one without a compressor. */
export const pressureServoOpen: PointValue = {
  id: 'manifold_pressure_servo_open',
  label: 'Manifold pressure with the wastegate stuck open',
  derive: (point) =>
    point.configuration.boost?.servo ? point.get(unboostedManifoldPressure)?.result : undefined,
};
