import type { EngineConfiguration, ProtectionLimit } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { QuantityValue, TableValue } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { formatUnit, kindAccepts, measuredQuantity, splitUnit } from '../quantity/index.ts';
import type { Kind, PressureReference } from '../quantity/kinds.ts';
import type { Node } from '../source/tree.ts';
import { ambientPressure, ambientTemperature } from './atmosphere.ts';
import { absoluteAtSeaLevel } from './boost-target.ts';
import { boostPressure, chargeTemperature, manifoldPressure } from './charge-air.ts';
import { fuelFlow, fuelVolumeFlow, injectorDuty, injectorPulseWidth, targetLambda } from './fuel.ts';
import { fuelPressureIn } from './fuel-pressure.ts';
import { ignitionAdvance } from './ignition.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { propellerSpeed } from './propeller.ts';
import { wastegateBasePosition } from './servo.ts';
import type { MaybeOperand } from './value.ts';

/** The threshold of a limit: one value, or a curve over another quantity. */
export type Threshold = QuantityValue | TableValue;

export type Level = 'caution' | 'warning';

export type Direction = 'above' | 'below';

/** A limit in one direction. A threshold that cannot be compared with the watched quantity is left out. */
export interface Limit {
  readonly name: string;
  readonly section: ProtectionLimit;
  readonly watches: string;
  readonly direction: Direction;
  readonly caution: Threshold | undefined;
  readonly warning: Threshold | undefined;
}

const NO_LIMITS: readonly Limit[] = [];

export const limitsOf = ({ protection }: EngineConfiguration): readonly Limit[] =>
  protection ? limitsIn(protection) : NO_LIMITS;

/** Cached by section, which map sets share. */
const limitsIn = memo((protection: NonNullable<EngineConfiguration['protection']>): readonly Limit[] =>
  Object.entries(protection).flatMap(([name, section]) => {
    const watches = section?.watches?.text;
    if (watches === undefined) return [];
    const kind = measuredQuantity(watches)?.entry.kind ?? 'any';
    const fitting = (one: Threshold | undefined) => (one && fitsWatched(kind, one) ? one : undefined);
    return (['above', 'below'] as const).flatMap((direction) => {
      const side = section[direction];
      const [caution, warning] = [fitting(side?.caution), fitting(side?.warning)];
      return side ? [{ name, section, watches, direction, caution, warning }] : [];
    });
  }),
);

/** The limits of the file and of each map set, each once; map sets share most of them. */
export const limitsOfAll = ({ engines }: Pick<Installation, 'engines'>): readonly Limit[] => [
  ...new Set(engines.flatMap(({ configuration }) => limitsOf(configuration))),
];

/** The kind of a difference between two values of a kind. */
export function differenceKind(kind: Kind): Kind {
  if (kind === 'temperature') return 'temperature difference';
  return kind.includes('pressure') ? 'pressure difference' : kind;
}

/** Whether the unit and reference of a threshold fit the kind of the watched quantity. */
export function fitsWatched(kind: Kind, threshold: Threshold): boolean {
  // A curve with an unreadable unit has a finding of its own.
  if (threshold.type === 'table' && threshold.unit === '' && threshold.unitNode) return true;
  const read = threshold.type === 'table' ? splitUnit(threshold.unit) : threshold.quantity;
  return kindAccepts(kind, read?.unit, read?.reference);
}

/** The thresholds of a limit, the caution first. */
export function thresholdsOf({ caution, warning }: Limit): { level: Level; threshold: Threshold }[] {
  return [
    ...(caution ? [{ level: 'caution' as const, threshold: caution }] : []),
    ...(warning ? [{ level: 'warning' as const, threshold: warning }] : []),
  ];
}

/** Whether a value is beyond a bound. */
export const isBeyond = (direction: Direction, value: number, bound: number): boolean =>
  direction === 'above' ? value > bound : value < bound;

export const referenceOf = (threshold: Threshold): PressureReference | undefined =>
  threshold.type === 'table' ? threshold.reference : threshold.quantity.reference;

/** The unit of a threshold as written: `bar gauge`; empty for a number without a unit. */
export function unitOf(threshold: Threshold): string {
  if (threshold.type === 'table') return threshold.unit;
  const { unit, reference } = threshold.quantity;
  return unit ? formatUnit(unit, reference) : '';
}

/**
 * A threshold (canonical) at a value of its curve's axis; undefined for an incomplete curve.
 */
export function thresholdAt(threshold: Threshold, x: number | undefined): number | undefined {
  if (threshold.type === 'quantity') return threshold.canonical;
  return x === undefined ? undefined : lookUp(threshold, x);
}

/** The values (canonical) of a threshold, each with its place in the file. */
export function writtenValues(threshold: Threshold): { canonical: number; node: Node }[] {
  if (threshold.type === 'quantity') return [threshold];
  const { cells, rows } = threshold;
  return cells ? rows.flat().map((node, i) => ({ canonical: cells[i]!, node })) : [];
}

/**
 * A value (canonical) of a threshold in the pressure reference of a sensor. A gauge value is converted to absolute at sea
 * level; other mixed references cannot be compared and give undefined.
 */
export function inReference(
  reference: PressureReference | undefined,
  threshold: Threshold,
  canonical: number,
): number | undefined {
  const from = referenceOf(threshold);
  if (from === reference) return canonical;
  return from === 'gauge' && reference === 'absolute'
    ? absoluteAtSeaLevel({ canonical, reference: from })
    : undefined;
}

/** A gauge pressure (Pa), as for a setting of a check, in the reference of a threshold; absolute at sea level. */
export const gaugeAsIn = (threshold: Threshold, canonical: number): number =>
  referenceOf(threshold) === 'absolute' ? absoluteAtSeaLevel({ canonical, reference: 'gauge' }) : canonical;

/**
 * Caution and warning at one breakpoint of their axis; without a breakpoint if both are single values.
 */
export interface ThresholdPair {
  readonly x: number | undefined;
  readonly caution: number;
  readonly warning: number;
}

/**
 * Caution and warning at every breakpoint of either; curves that keep their order there keep it everywhere. None if they
 * cannot be compared: different pressure references, different axes, or an incomplete curve.
 */
export function thresholdPairs({ caution, warning }: Limit): ThresholdPair[] {
  if (!caution || !warning || referenceOf(caution) !== referenceOf(warning)) return [];
  const axes = [caution, warning].flatMap((threshold) => (threshold.type === 'table' ? [threshold.x] : []));
  const [axis, other] = axes;
  if (other && (other.quantity !== axis?.quantity || other.reference !== axis.reference)) return [];
  const places = axes.length > 0 ? [...new Set(axes.flatMap((one) => one?.breakpoints ?? []))] : [undefined];
  return places.flatMap((x) => {
    const pair = { x, caution: thresholdAt(caution, x), warning: thresholdAt(warning, x) };
    return pair.caution === undefined || pair.warning === undefined ? [] : [pair as ThresholdPair];
  });
}

/** The axis of a limit's curves. */
export const axisOf = ({ caution, warning }: Limit) =>
  [caution, warning].flatMap((threshold) => (threshold?.type === 'table' ? (threshold.x ?? []) : []))[0];

const derivedAs: Readonly<Record<string, PointValue>> = {
  ambient_pressure: ambientPressure,
  ambient_temperature: ambientTemperature,
  propeller_speed: propellerSpeed,
  wastegate_position_demand: wastegateBasePosition,
  // Intake air has ambient temperature.
  intake_air_temperature: ambientTemperature,
  charge_temperature: chargeTemperature,
  lambda: targetLambda,
  injector_pulse_width: injectorPulseWidth,
  injector_duty: injectorDuty,
  ignition_advance: ignitionAdvance,
};

/**
 * The value of a watched quantity at an operating point, stated or derived, in the form of `like`: absolute or gauge
 * pressure, flow by volume or by mass. Undefined for a quantity that a point does not have, such as oil pressure.
 */
export function watchedValue(point: OperatingPoint, quantity: string, like: Threshold): MaybeOperand {
  const name = measuredQuantity(quantity)?.entry.name ?? '';
  const { conditions, configuration } = point;
  const definition = derivedAs[name];
  if (definition) return point.get(definition);
  switch (name) {
    case 'engine_speed':
      return conditions.speed;
    case 'throttle_position':
      return conditions.throttle;
    case 'pressure_altitude':
      return conditions.pressureAltitude;
    case 'battery_voltage':
      return conditions.batteryVoltage;
    case 'coolant_temperature':
      // An assumed default says nothing about this engine.
      return conditions.coolantTemperature.node && conditions.coolantTemperature;
    case 'manifold_pressure':
      return point.get(referenceOf(like) === 'gauge' ? boostPressure : manifoldPressure);
    case 'fuel_flow':
      return point.get(/kg|g\/|lb/.test(unitOf(like)) ? fuelFlow : fuelVolumeFlow);
    case 'fuel_pressure': {
      const pressure = configuration.fuel?.rail?.pressure;
      return pressure && fuelPressureIn(point, pressure, pressure.quantity.reference, referenceOf(like));
    }
    default:
      return undefined;
  }
}

/** A limit's threshold at an operating point; a curve is read at the value of its axis there. */
export function thresholdAtPoint(point: OperatingPoint, threshold: Threshold): number | undefined {
  if (threshold.type === 'quantity') return threshold.canonical;
  const axis = threshold.x;
  if (axis?.quantity === 'manifold_pressure')
    return thresholdAt(
      threshold,
      point.get(axis.reference === 'gauge' ? boostPressure : manifoldPressure)?.canonical,
    );
  return axis && thresholdAt(threshold, watchedValue(point, axis.quantity, threshold)?.canonical);
}
