import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import type { Axis } from '../configuration/values.ts';
import { altitudeForPressure } from '../physics/atmosphere.ts';
import * as physics from '../physics/charge-air.ts';
import { lookedUp } from '../physics/formula.ts';
import { ambientPressure, ambientTemperature } from './atmosphere.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { apply, type MaybeOperand, type Operand, type Result, referenceOfOperand } from './value.ts';

/** Values for parts that an engine does not have: no loss, no cooling, no compressor, as the schema states for each key. */
const none = (canonical: number, how: string): Operand => ({ canonical, how });
const NO_INTAKE_LOSS = none(0, 'no intake loss stated');
const NO_COOLER_LOSS = none(0, 'no intercooler loss stated');
const NO_COMPRESSOR = none(1, 'no compressor');
const NO_INTERCOOLER = none(0, 'no intercooler stated');

export const intakeLoss = ({ intake }: EngineConfiguration): Operand => intake?.loss ?? NO_INTAKE_LOSS;

export const coolerLoss = ({ boost }: EngineConfiguration): Operand =>
  boost?.intercooler?.pressure_loss ?? NO_COOLER_LOSS;

/** The compressor's maximum pressure ratio; 1 without a compressor; undefined for a compressor that states none. */
export const maximumPressureRatio = ({ boost }: EngineConfiguration): MaybeOperand =>
  boost ? boost.compressor?.maximum_pressure_ratio : NO_COMPRESSOR;

const stated = lookedUp(
  'stated-manifold-pressure',
  'p_m',
  'pressure stated at the operating point',
  'Pa',
  'kPa abs',
);
const assumedCharge = lookedUp(
  'assumed-charge-temperature',
  'T_c',
  'charge temperature that the controller assumes',
  'K',
  '°C',
);
const target = lookedUp('boost-target', 'p_t', 'boost target at throttle and speed', 'Pa', 'kPa abs');

/** The pressure that the point itself states, in Pa absolute. */
function statedPressure(point: OperatingPoint): Result | undefined {
  const pressure = point.conditions.manifoldPressure;
  if (!pressure) return undefined;
  return referenceOfOperand(pressure) === 'gauge'
    ? apply(physics.absolutePressure, {
        ambientPressure: point.get(ambientPressure),
        boostPressure: pressure,
      })
    : apply(stated, { found: pressure });
}

const isFullThrottle = (throttle: MaybeOperand): boolean => throttle !== undefined && throttle.canonical >= 1;

const targetMap: WhichTable = ({ boost }) => boost?.target;

/** The boost target at the point as in the map: absolute or gauge. */
function mapTarget(point: OperatingPoint): Operand | undefined {
  const { speed, throttle } = point.conditions;
  return point.lookUp(targetMap, speed, throttle);
}

export const targetManifoldPressure: PointValue = {
  id: 'target_manifold_pressure',
  label: 'Target manifold pressure',
  derive(point) {
    if (point.conditions.manifoldPressure) return statedPressure(point);
    const ambient = point.get(ambientPressure);
    const { boost } = point.configuration;
    if (boost) {
      const found = mapTarget(point);
      return boost.target?.reference === 'gauge'
        ? apply(physics.absolutePressure, { ambientPressure: ambient, boostPressure: found })
        : apply(target, { found });
    }
    if (!isFullThrottle(point.conditions.throttle)) return undefined;
    return point.get(unboostedManifoldPressure)?.result;
  },
};

/** Manifold pressure at full throttle without a compressor. */
export const unboostedManifoldPressure: PointValue = {
  id: 'unboosted_manifold_pressure',
  label: 'Manifold pressure at full throttle without boost',
  derive: (point) =>
    apply(physics.aspiratedManifoldPressure, {
      ambientPressure: point.get(ambientPressure),
      intakeLoss: intakeLoss(point.configuration),
    }),
};

export const availableManifoldPressure: PointValue = {
  id: 'available_manifold_pressure',
  label: 'Available manifold pressure',
  derive: (point) =>
    apply(physics.availableManifoldPressure, {
      ambientPressure: point.get(ambientPressure),
      intakeLoss: intakeLoss(point.configuration),
      maximumPressureRatio: maximumPressureRatio(point.configuration),
      coolerLoss: coolerLoss(point.configuration),
    }),
};

export const manifoldPressure: PointValue = {
  id: 'manifold_pressure',
  label: 'Manifold pressure',
  derive: (point) =>
    point.conditions.manifoldPressure
      ? statedPressure(point)
      : apply(physics.manifoldPressure, {
          target: point.get(targetManifoldPressure),
          available: point.get(availableManifoldPressure),
        }),
};

export const boostPressure: PointValue = {
  id: 'boost_pressure',
  label: 'Boost pressure',
  derive: (point) =>
    apply(physics.boostPressure, {
      manifoldPressure: point.get(manifoldPressure),
      ambientPressure: point.get(ambientPressure),
    }),
};

export const pressureRatio: PointValue = {
  id: 'pressure_ratio',
  label: 'Compressor pressure ratio',
  derive: (point) =>
    apply(physics.pressureRatio, {
      manifoldPressure: point.get(manifoldPressure),
      coolerLoss: coolerLoss(point.configuration),
      ambientPressure: point.get(ambientPressure),
      intakeLoss: intakeLoss(point.configuration),
    }),
};

export const compressorOutletTemperature: PointValue = {
  id: 'compressor_outlet_temperature',
  label: 'Compressor outlet temperature',
  derive(point) {
    const { boost } = point.configuration;
    return apply(physics.compressorOutletTemperature, {
      ambientTemperature: point.get(ambientTemperature),
      // Without a compressor the air keeps its temperature.
      pressureRatio: boost ? point.get(pressureRatio) : NO_COMPRESSOR,
      efficiency: boost ? boost.compressor?.efficiency : NO_COMPRESSOR,
    });
  },
};

export const chargeTemperature: PointValue = {
  id: 'charge_temperature',
  label: 'Charge temperature',
  derive(point) {
    const { chargeTemperature: assumed } = point.conditions;
    if (assumed) return apply(assumedCharge, { found: assumed });
    return apply(physics.chargeTemperature, {
      outletTemperature: point.get(compressorOutletTemperature),
      effectiveness: point.configuration.boost?.intercooler?.effectiveness ?? NO_INTERCOOLER,
      ambientTemperature: point.get(ambientTemperature),
    });
  },
};

export const criticalAltitude: PointValue = {
  id: 'critical_altitude',
  label: 'Critical altitude',
  derive(point) {
    const { configuration } = point;
    const { boost } = configuration;
    if (!boost) return undefined;
    const parts = {
      coolerLoss: coolerLoss(configuration),
      maximumPressureRatio: maximumPressureRatio(configuration),
      intakeLoss: intakeLoss(configuration),
    };
    const gauge = !point.conditions.manifoldPressure && boost.target?.reference === 'gauge';
    const pressure = gauge
      ? apply(physics.criticalPressureForBoost, { boostPressure: mapTarget(point), ...parts })
      : apply(physics.criticalPressure, { manifoldPressure: point.get(targetManifoldPressure), ...parts });
    if (!pressure || !(pressure.canonical > 0)) return undefined;
    return apply(altitudeForPressure, { pressure });
  },
};

/** The manifold pressure in the reference of an axis; gauge pressure is relative to ambient pressure at the point. */
export function pressureOnAxis(point: OperatingPoint, axis: Axis | undefined): MaybeOperand {
  return axis?.reference === 'gauge' ? point.get(boostPressure) : point.get(manifoldPressure);
}
