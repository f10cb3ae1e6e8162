import type { EngineConfiguration } from '../../generated/configuration.ts';
import { differingIn } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import * as physics from '../physics/cylinder.ts';
import type { FileValue } from './derivation.ts';
import type { PointValue } from './operating-point.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

const sweptVolume = ({ engine }: EngineConfiguration): Result | undefined =>
  apply(physics.cylinderVolume, { bore: engine?.bore, stroke: engine?.stroke });

const engineVolume = (configuration: EngineConfiguration): Result | undefined =>
  apply(physics.displacement, {
    cylinders: configuration.engine?.cylinders,
    cylinderVolume: sweptVolume(configuration),
  });

export const cylinderVolume: FileValue = {
  id: 'cylinder_volume',
  label: 'Cylinder volume',
  derive({ installation: { configuration } }) {
    const result = sweptVolume(configuration);
    return result ? [derivedValue(cylinderVolume, result, nodeOf(configuration.engine!.stroke!))] : [];
  },
};

export const displacement: FileValue = {
  id: 'displacement',
  label: 'Displacement',
  derive({ installation: { configuration } }) {
    const result = engineVolume(configuration);
    return result ? [derivedValue(displacement, result, nodeOf(configuration.engine!.cylinders!))] : [];
  },
};

export const turnsPerCycle = ({ engine }: EngineConfiguration): Operand | undefined =>
  engine?.cycle && {
    canonical: physics.revolutionsPerCycle[engine.cycle.text],
    node: engine.cycle.node,
    how: engine.cycle.text,
  };

export const cycleTime: PointValue = {
  id: 'cycle_time',
  label: 'Cycle time',
  derive: ({ configuration, conditions }) =>
    apply(physics.cycleTime, { revolutions: turnsPerCycle(configuration), speed: conditions.speed }),
};

export const meanPistonSpeed: PointValue = {
  id: 'mean_piston_speed',
  label: 'Mean piston speed',
  derive: ({ configuration, conditions }) =>
    apply(physics.meanPistonSpeed, { stroke: configuration.engine?.stroke, speed: conditions.speed }),
};

export const meanPistonSpeedAtMaximumSpeed: FileValue = {
  id: 'mean_piston_speed_at_maximum_speed',
  label: 'Mean piston speed at maximum speed',
  derive: ({ installation: { engines } }) =>
    differingIn(engines, 'engine').flatMap(({ configuration }) => {
      const { stroke, maximum_speed: speed } = configuration.engine ?? {};
      const result = apply(physics.meanPistonSpeed, { stroke, speed });
      return result ? [derivedValue(meanPistonSpeedAtMaximumSpeed, result, nodeOf(speed!))] : [];
    }),
};

export { engineVolume, sweptVolume };
