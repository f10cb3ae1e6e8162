import type { EngineConfiguration } from '../../generated/configuration.ts';
import * as atmosphere from '../physics/atmosphere.ts';
import * as physics from '../physics/propeller.ts';
import { ambientPressure, ambientTemperature } from './atmosphere.ts';
import { estimatedPower, warmPower } from './fuel.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { apply, type MaybeOperand, type Operand, type Result } from './value.ts';

type Drive = Pick<EngineConfiguration, 'engine' | 'gearbox' | 'propeller'>;

/** The stated reduction ratio: that of the gearbox or its short form. */
const statedRatio = ({ engine, gearbox }: Drive): MaybeOperand => gearbox?.ratio ?? engine?.reduction_ratio;

/** The reduction ratio; 1 for a propeller on the crank; undefined if the file states neither gearbox nor propeller. */
export function reductionRatio(configuration: Drive): MaybeOperand {
  const direct: Operand = { canonical: 1, how: 'propeller on the crank, as no reduction is stated' };
  const drivesPropeller = configuration.propeller !== undefined || configuration.gearbox !== undefined;
  return statedRatio(configuration) ?? (drivesPropeller ? direct : undefined);
}

export const propellerSpeed: PointValue = {
  id: 'propeller_speed',
  label: 'Propeller speed',
  derive: ({ configuration, conditions }) =>
    apply(physics.propellerSpeedOf, { speed: conditions.speed, ratio: reductionRatio(configuration) }),
};

/** The torque at the propeller shaft of a geared engine for a crankshaft power. */
function torqueOf(point: OperatingPoint, power: MaybeOperand): Result | undefined {
  const { gearbox } = point.configuration;
  if (!gearbox && !statedRatio(point.configuration)) return undefined;
  return apply(physics.gearboxTorqueOf, {
    power,
    efficiency: gearbox?.efficiency ?? { canonical: 1, how: 'no gearbox loss stated' },
    propellerSpeed: point.get(propellerSpeed),
  });
}

export const gearboxTorque: PointValue = {
  id: 'gearbox_torque',
  label: 'Gearbox torque at the propeller shaft',
  derive: (point) => torqueOf(point, point.get(estimatedPower)),
};

/** The fuel that a cold engine gets in addition makes no power, but the estimate counts it. */
export const gearboxTorqueWarm: PointValue = {
  id: 'gearbox_torque_warm',
  label: 'Gearbox torque of the warm engine',
  derive: (point) => torqueOf(point, point.get(warmPower)),
};

export const propellerTipSpeed: PointValue = {
  id: 'propeller_tip_speed',
  label: 'Propeller tip speed',
  derive: (point) =>
    apply(physics.tipSpeedOf, {
      diameter: point.configuration.propeller?.diameter,
      propellerSpeed: point.get(propellerSpeed),
      airspeed: point.conditions.trueAirspeed ?? {
        canonical: 0,
        how: 'no true airspeed stated, so in the plane of rotation',
      },
    }),
};

export const propellerTipMach: PointValue = {
  id: 'propeller_tip_mach',
  label: 'Mach number of the propeller tips',
  derive: (point) =>
    apply(physics.tipMachOf, {
      tipSpeed: point.get(propellerTipSpeed),
      soundSpeed: apply(physics.speedOfSound, { temperature: point.get(ambientTemperature) }),
    }),
};

export const bladePassingFrequency: PointValue = {
  id: 'blade_passing_frequency',
  label: 'Blade passing frequency',
  derive: (point) =>
    apply(physics.bladePassingFrequencyOf, {
      blades: point.configuration.propeller?.blades,
      propellerSpeed: point.get(propellerSpeed),
    }),
};

/** What ties the power of a propeller of fixed pitch to its speed; undefined for any other. */
function fixedPitch(point: OperatingPoint) {
  const { engine, propeller } = point.configuration;
  const pitch = propeller?.pitch?.text;
  if (pitch === undefined || pitch === 'variable') return undefined;
  const density: Result | undefined = apply(atmosphere.airDensity, {
    pressure: point.get(ambientPressure),
    temperature: point.get(ambientTemperature),
  });
  return { ratedPower: engine?.rated_power, ratedSpeed: engine?.rated_speed, density };
}

export const propellerAbsorbedPower: PointValue = {
  id: 'propeller_absorbed_power',
  label: 'Power absorbed by the propeller',
  derive(point) {
    const fixed = fixedPitch(point);
    return fixed && apply(physics.absorbedPowerOf, { ...fixed, speed: point.conditions.speed });
  },
};

export const propellerBalanceSpeed: PointValue = {
  id: 'propeller_balance_speed',
  label: 'Engine speed at which the propeller absorbs the estimated power',
  derive(point) {
    const fixed = fixedPitch(point);
    return fixed && apply(physics.balanceSpeedOf, { ...fixed, power: point.get(estimatedPower) });
  },
};
