import type { EngineConfiguration, RunConfiguration } from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import { turnsPerCycle } from '../derived/cylinder.ts';
import { reductionRatio } from '../derived/propeller.ts';
import { altitudeForPressure, ambientTemperature } from '../physics/atmosphere.ts';
import { cycleTime } from '../physics/cylinder.ts';
import {
  compensatedCorrection,
  dryPressure,
  exhaustDelay,
  isoCorrection,
  saeCorrection,
  saturationPressure,
} from '../physics/measured.ts';
import { isToleranceFault, parseTolerance, type Tolerance, unitNamed } from '../quantity/index.ts';
import type { Correction } from './power.ts';
import { runQuantity, withoutIndex } from './quantities.ts';
import { type Bands, USUAL_BANDS } from './steady.ts';

/** The air around the engine. */
export interface Air {
  readonly pressure: number;
  readonly temperature: number;
  /** Pressure altitude (m) and deviation from the standard temperature there (K). */
  readonly altitude: number;
  readonly deviation: number;
}

/** The air of the room as a state of the standard atmosphere; undefined if the run file does not state it. */
export function airOf({ room }: Pick<RunConfiguration, 'room'>): Air | undefined {
  const { pressure, temperature } = room ?? {};
  if (!pressure || !temperature) return undefined;
  const altitude = altitudeForPressure({ pressure: pressure.canonical });
  const standard = ambientTemperature({ altitude, deviation: 0 });
  return {
    pressure: pressure.canonical,
    temperature: temperature.canonical,
    altitude,
    deviation: temperature.canonical - standard,
  };
}

export function bandsOf({ steady }: Pick<RunConfiguration, 'steady'>): Bands {
  return {
    speed: steady?.speed?.canonical ?? USUAL_BANDS.speed,
    pressure: steady?.manifold_pressure?.canonical ?? USUAL_BANDS.pressure,
    throttle: steady?.throttle?.canonical ?? USUAL_BANDS.throttle,
    time: steady?.time?.canonical ?? USUAL_BANDS.time,
  };
}

/** The tolerance of an entry of `accuracy`; undefined for a text that is none, or an unknown quantity. */
export function accuracyFrom(name: string, text: string): Tolerance | undefined {
  const quantity = runQuantity(name);
  if (!quantity || quantity.kind === 'name' || quantity.kind === 'flag') return undefined;
  const unit = unitOfKind(quantity.unit);
  const read = parseTolerance(text.replace(/^\s*(±|\+\/?-)/, ''), unit, false);
  return isToleranceFault(read) ? undefined : read;
}

const unitOfKind = (text: string) => (text === '' ? undefined : unitNamed(text.replace(/ (abs|gauge)$/, '')));

/** The accuracy of each quantity's instrument. */
export function accuraciesOf({
  accuracy,
}: Pick<RunConfiguration, 'accuracy'>): ReadonlyMap<string, Tolerance> {
  return new Map(
    Object.entries(accuracy ?? {}).flatMap(([name, value]) => {
      const read = accuracyFrom(name, value.text);
      return read ? [[withoutIndex(name), read] as const] : [];
    }),
  );
}

/** Below this speed (rpm) an engine does not run, and its cycles are not waited for. */
const SLOWEST = 300;

/**
 * The time (s) from the intake of a cylinder to its lambda reading, at a speed (rpm): as stated, or estimated from the cycle. NaN if
 * it is neither stated nor can be estimated.
 */
export function exhaustDelayOf(
  { exhaust_delay }: Pick<RunConfiguration, 'exhaust_delay'>,
  engine: EngineConfiguration,
): (speed: number) => number {
  if (exhaust_delay) return () => exhaust_delay.canonical;
  const revolutions = turnsPerCycle(engine)?.canonical ?? Number.NaN;
  // The formulas are linear in the period of a revolution; a million rows need not build their arguments.
  const cycle = cycleTime({ revolutions, speed: 1 });
  const lag = exhaustDelay({ cycleTime: 0 });
  return (speed) => cycle / Math.max(speed, SLOWEST) + lag;
}

/** How torque and power at the brake become those at the crankshaft. */
export interface Shaft {
  /** Undefined if the brake is at the propeller shaft and the reduction ratio is unknown. */
  readonly ratio: number | undefined;
  readonly efficiency: number;
  readonly note: string | undefined;
}

export function shaftOf({ brake }: Pick<RunConfiguration, 'brake'>, engine: EngineConfiguration): Shaft {
  if (brake?.at?.text !== 'propeller_shaft') return { ratio: 1, efficiency: 1, note: undefined };
  const stated = brake.gear_efficiency ?? engine.gearbox?.efficiency;
  const note = stated
    ? undefined
    : 'No gear efficiency is stated, so all power of the crankshaft is taken to reach the brake.';
  return { ratio: reductionRatio(engine)?.canonical, efficiency: stated?.canonical ?? 1, note };
}

/** Outside of this range a factor says more about the air than about the engine (SAE J1349, ISO 1585). */
const VALID: readonly [number, number] = [0.93, 1.07];

/** The correction of power to the reference atmosphere: 99 kPa dry and 25 °C. */
export function correctionOf(
  { room }: Pick<RunConfiguration, 'room'>,
  { boost }: EngineConfiguration,
): Correction | undefined {
  const { pressure, temperature, humidity } = room ?? {};
  if (!pressure || !temperature) return undefined;
  if (boost?.target && boost.target.reference !== 'gauge')
    return {
      standard: 'UN R85',
      factor: compensatedCorrection({}),
      note:
        'The controller holds the boost pressure absolute, so power is not corrected: for charging that compensates for ambient ' +
        'temperature and altitude, UN Regulation No. 85 (after Regulation (EU) No 136/2014, annex XX) sets the factor to 1, to avoid a second correction. ' +
        'A factor for aspirated engines does not apply.',
    };
  const dry = dryPressure({
    pressure: pressure.canonical,
    humidity: humidity?.canonical ?? 0,
    saturation: saturationPressure({ temperature: temperature.canonical }),
  });
  const air = { dryPressure: dry, temperature: temperature.canonical };
  const [factor, iso] = [saeCorrection(air), isoCorrection(air)];
  const isValid = factor >= VALID[0] && factor <= VALID[1];
  const damp = humidity ? '' : ' No humidity is stated, so the air is taken as dry.';
  const charged = boost
    ? ' The boost target is a gauge pressure, so charging does not compensate for the air, and the factor for spark-ignition engines is used.'
    : '';
  const limits = `from ${VALID[0]} to ${VALID[1]}`;
  return {
    standard: isValid ? 'SAE J1349' : 'none',
    factor,
    note: isValid
      ? `Power is corrected to 99 kPa dry and 25 °C by SAE J1349, factor ${factor.toFixed(4)}; the factor of ISO 1585 is ${iso.toFixed(4)}.${damp}${charged}`
      : `The factor of SAE J1349 is ${factor.toFixed(4)}. It is valid ${limits}, so power is not corrected.${damp}${charged}`,
  };
}

/** The engines of a run by the names that its rows may have; empty if the map set of the run file does not exist. */
export function enginesOf(
  { selectable, engines }: Installation,
  mapSet: string | undefined,
): readonly Engine[] {
  if (mapSet !== undefined) return selectable.filter((engine) => engine.mapSet === mapSet);
  return [engines[0]!, ...selectable.filter((engine) => engine !== engines[0])];
}
