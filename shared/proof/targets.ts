import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { availableManifoldPressure, manifoldPressure } from '../derived/charge-air.ts';
import { faultedPoint, type SensorFault } from '../derived/faults.ts';
import {
  injectorDuty,
  injectorDutyAtFaultPressure,
  injectorPulseWidth,
  targetLambda,
} from '../derived/fuel.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint, PointValue } from '../derived/operating-point.ts';
import { pointValues } from '../derived/registry.ts';
import {
  dutyOfLeanest,
  dutyOfRichest,
  lambdaOfLeanest,
  lambdaOfRichest,
  pulseWidthOfLeanest,
  pulseWidthOfRichest,
} from '../derived/trim.ts';
import { type DerivedValue, type Operand, type Result, referenceOfOperand } from '../derived/value.ts';
import { ambientPressure } from '../physics/atmosphere.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { addedAdvance, addedAdvanceOf } from './added-advance.ts';
import { deliveredLambda } from './delivered-lambda.ts';
import type { Envelope } from './envelope.ts';
import { StateSpace } from './state-space.ts';

/** A value to be bounded, in all states of one space. */
export interface Target {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly show: string;
  readonly value: Operand | DerivedValue | Result;
  readonly space: StateSpace;
}

/** The mixture that results under a fault. */
export const lambdaUnderFault = { id: 'lambda', label: 'Delivered lambda' } as const;
export const lambdaAtHighLoad = {
  id: 'lambda_at_high_load',
  label: 'Delivered lambda at high load',
} as const;

/** The further values to bound because of limits that apply only at or above a manifold pressure (Pa). */
export interface FurtherTargets {
  readonly dense?: {
    readonly from: number;
    values(point: OperatingPoint): readonly (Naming & { readonly value: MaybeValue })[];
  };
  /** Where high load begins. */
  readonly load?: number;
}

type Naming = Pick<Target, 'id' | 'label'>;
type MaybeValue = DerivedValue | Result | undefined;

/** The values of an engine that can be bounded, without a fault or with one. */
export class Targets {
  private constructor(
    readonly engine: Engine,
    readonly envelope: Envelope,
    readonly further: FurtherTargets,
    readonly space: StateSpace,
  ) {}

  /** Undefined if the states of the engine are unknown. */
  static of(engine: Engine, envelope: Envelope, further: FurtherTargets): Targets | undefined {
    const place = engine.configuration.engine;
    const space = place && StateSpace.of(engine, envelope, nodeOf(place));
    return space && new Targets(engine, envelope, further, space);
  }

  sound(): Target[] {
    const { space } = this;
    const { dense } = this.further;
    const denseSpace = dense && this.#spaceFrom(dense.from);
    return [
      ...CONDITIONS.map(({ of, ...names }) => ({ ...names, value: space.point.conditions[of]!, space })),
      ...pointValues
        .filter((definition) => definition !== injectorDutyAtFaultPressure)
        .flatMap((definition) => target(space, definition, space.point.get(definition))),
      ...(denseSpace ? dense.values(denseSpace.point) : []).flatMap(({ value, ...names }) =>
        target(denseSpace!, names, value),
      ),
    ];
  }

  atFaultPressure(): Target[] {
    const { point } = this.space;
    const rail = point.configuration.fuel?.rail?.fault_pressure;
    // Nothing else of the controller's computation depends on the rail.
    const weak = rail && point.inState({ ...point.conditions, railPressure: rail });
    return weak ? INJECTION.flatMap((one) => target(this.space, one, weak.get(one))) : [];
  }

  /** The values that a failed sensor affects. Others are bounded without the fault. */
  faulted(fault: SensorFault): Target[] {
    const isRunaway = runsAway(this.engine, this.envelope, fault);
    const ceilingOf = isRunaway ? ceilingOfCompressor : undefined;
    const space = this.#spaceFrom(-Infinity, ceilingOf);
    if (!space) return [];
    const { load } = this.further;
    const atLoad = load === undefined ? undefined : this.#spaceFrom(load, ceilingOf);
    const { actual, assumed } = faultedPoint(space.point, fault);
    const affected = [
      ...target(space, lambdaUnderFault, delivered(space, fault, targetLambda)),
      ...[lambdaOfRichest, lambdaOfLeanest].flatMap((one) =>
        target(space, one, delivered(space, fault, one)),
      ),
      ...(atLoad ? target(atLoad, lambdaAtHighLoad, delivered(atLoad, fault, targetLambda)) : []),
      ...[...INJECTION, ignitionAdvance].flatMap((one) => target(space, one, assumed.get(one))),
      ...target(space, addedAdvance, addedAdvanceOf({ actual, assumed }, space.isSame)),
    ].filter((one) => one.space.follows(one.value, fault.value));
    return isRunaway
      ? [...affected, ...target(space, manifoldPressure, actual.get(manifoldPressure))]
      : affected;
  }

  /** The states at or above a manifold pressure. */
  #spaceFrom(pressure: number, ceilingOf?: typeof ceilingOfCompressor): StateSpace | undefined {
    const { engine, envelope } = this;
    const lowestPressure = Math.max(envelope.lowestPressure, pressure);
    const node = nodeOf(engine.configuration.engine!);
    return StateSpace.of(engine, { ...envelope, lowestPressure }, node, ceilingOf);
  }
}

function target(space: StateSpace, { id, label }: Naming, value: MaybeValue): Target[] {
  if (!value) return [];
  const isNamed = 'id' in value;
  const note = isNamed ? value.note : undefined;
  const { unit, show = unit } = (isNamed ? value.result : value).formula.result;
  return [
    {
      ...{ id, unit, value, space, show: isNamed ? value.show : show },
      label: note === undefined ? label : `${label} (${note})`,
    },
  ];
}

/** The conditions that sensors measure and tables look up. */
const CONDITIONS = [
  { id: 'engine_speed', label: 'Engine speed', unit: 'rpm', show: 'rpm', of: 'speed' },
  { id: 'throttle_position', label: 'Throttle position', unit: '', show: '%', of: 'throttle' },
  {
    id: 'coolant_temperature',
    label: 'Coolant temperature',
    unit: 'K',
    show: '°C',
    of: 'coolantTemperature',
  },
  { id: 'battery_voltage', label: 'Battery voltage', unit: 'V', show: 'V', of: 'batteryVoltage' },
] as const;

/** The values of the injectors. */
const INJECTION = [
  injectorDuty,
  injectorPulseWidth,
  dutyOfRichest,
  pulseWidthOfRichest,
  dutyOfLeanest,
  pulseWidthOfLeanest,
];

/** The lambda that results under a fault from a target in the assumed state. */
function delivered(space: StateSpace, fault: SensorFault, assumedLambda: PointValue): Result | undefined {
  const faulted = faultedPoint(space.point, fault);
  return deliveredLambda(faulted, faulted.assumed.get(assumedLambda), space.isSame);
}

const ceilingOfCompressor = (point: OperatingPoint) => point.get(availableManifoldPressure)?.result;

/**
 * Whether boost runs away: the pressure sensor reads less than a target, so the boost loop keeps closing the wastegate,
 * and only the compressor limits manifold pressure.
 */
function runsAway({ configuration }: Engine, { ranges }: Envelope, { sensor, value }: SensorFault): boolean {
  const quantity = measuredQuantity(sensor.measures?.text ?? '')?.entry.name;
  const boostTarget = configuration.boost?.target;
  if (quantity !== 'manifold_pressure' || !boostTarget?.cells) return false;
  const [isGauge, isReadAsGauge] = [boostTarget.reference, referenceOfOperand(value)].map(
    (reference) => reference === 'gauge',
  );
  // A gauge reading is the lowest absolute pressure at the highest altitude.
  const ambient = isReadAsGauge ? ambientPressure({ altitude: ranges.pressure_altitude.high }) : SEA_LEVEL;
  const absolute = isReadAsGauge ? value.canonical + ambient : value.canonical;
  const assumed = isGauge ? absolute - ambient : absolute;
  return boostTarget.cells.some((cell) => cell > assumed);
}
