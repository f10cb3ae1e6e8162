import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import { injectedFuelMass } from '../physics/loops.ts';
import type { Node } from '../source/tree.ts';
import { heldAt } from './cell.ts';
import { cycleTime } from './cylinder.ts';
import {
  deadTime,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorFlow,
  injectorsPerCylinder,
} from './fuel.ts';
import { SEA_LEVEL } from './full-load.ts';
import { apply, type Operand } from './value.ts';

/** Common practice, no source; the schema states it. */
const USUAL: Operand = { canonical: 250, how: 'usual cranking speed, as none is stated' };

/** Crank speed (rpm) while the starter turns the engine: as the file states it, or the usual one. */
export const crankingSpeed = ({ engine }: EngineConfiguration, usual = USUAL): Operand =>
  engine?.cranking_speed ?? usual;

/**
 * The fuel of each value of the cranking pulse, relative to the stoichiometric fuel for a cylinder filled at ambient pressure,
 * at a supply voltage (V). Undefined if something that it needs is missing.
 */
export function crankingFuel(engine: Engine, voltage: number): readonly number[] | undefined {
  const pulse = engine.configuration.fuel?.cranking_pulse;
  if (!pulse?.cells) return undefined;
  const node: Node = pulse.node;
  const held = heldAt(engine, node, crankingSpeed(engine.configuration), { canonical: SEA_LEVEL });
  const point = held.inState({
    ...held.conditions,
    lambda: { canonical: 1 },
    batteryVoltage: { canonical: voltage },
  });
  const required = point.get(fuelMassPerCycle);
  if (!required || required.canonical <= 0) return undefined;
  const fuel = Array.from(pulse.cells, (cell) =>
    apply(injectedFuelMass, {
      pulseWidth: { canonical: cell },
      cycleTime: point.get(cycleTime),
      deadTime: deadTime(point),
      flow: point.get(injectorFlow),
      fuelDensity: fuelDensity(point.configuration),
      injectorsPerCylinder: injectorsPerCylinder(point.configuration),
      injections: injections(point.configuration),
    }),
  );
  return fuel.every((one) => one !== undefined)
    ? fuel.map((one) => one.canonical / required.canonical)
    : undefined;
}
