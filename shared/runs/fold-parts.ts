import type { EngineConfiguration } from '../../generated/configuration.ts';
import { turnsPerCycle } from '../derived/cylinder.ts';
import { DEFAULT_COOLANT_TEMPERATURE, nominalVoltage } from '../derived/operating-point.ts';
import { crankTorqueOfShaft, exhaustDelay, powerOfTorque } from '../physics/measured.ts';
import { formatQuantity } from '../quantity/index.ts';
import type { Columns } from './columns.ts';
import type { FoldOptions } from './fold-options.ts';
import { LARGEST_TRIM, type RowPlaces } from './row-places.ts';
import type { Logged } from './row-values.ts';
import type { Shaft } from './setup.ts';

/** The instrument that power is measured with. */
export const powerQuantity = (columns: Columns): string =>
  columns.place('brake_power') >= 0 ? 'brake_power' : 'torque';

/** Reads torque (Nm) and power (W) at the crankshaft. NaN if they are not measured, or the reduction ratio is needed and unknown. */
export interface CrankReaders {
  torque(row: Float64Array): number;
  power(row: Float64Array): number;
}

export function crankReaders(
  { ratio, efficiency }: Shaft,
  { torque, brakePower, speed }: RowPlaces,
): CrankReaders {
  // The formulas are linear; a million rows need not build their arguments.
  const watts = powerOfTorque({ torque: 1, speed: 1 });
  const factor = ratio === undefined ? Number.NaN : crankTorqueOfShaft({ torque: 1, ratio, efficiency });
  const isPower = brakePower >= 0;
  const ofPower = (row: Float64Array) => row[brakePower]! / efficiency;
  const ofTorque = (row: Float64Array) => (torque < 0 ? Number.NaN : row[torque]! * factor);
  return {
    torque:
      torque < 0 && isPower && ratio !== undefined ? (row) => ofPower(row) / (watts * row[speed]!) : ofTorque,
    power: isPower ? ofPower : (row) => ofTorque(row) * row[speed]! * watts,
  };
}

/** What a run does not state, and what is assumed or left out instead. */
export function notesOf(
  { run, columns, engines }: Pick<FoldOptions, 'run' | 'columns' | 'engines'>,
  places: RowPlaces,
  logged: Logged,
  shaft: Shaft,
): string[] {
  const { configuration } = engines[0]!;
  const notes: string[] = columns.all.flatMap(({ problem }) => problem ?? []);
  const has = (quantity: string) => columns.place(quantity) >= 0;
  const hasPower = has('torque') || has('brake_power');
  if (!has('engine_speed') || !has('manifold_pressure'))
    notes.push('Without engine_speed and manifold_pressure, no stretch counts as steady.');
  else if (!has('throttle_position'))
    notes.push(
      `No throttle_position is logged, so steady stretches follow from speed and manifold pressure alone${hasPower ? ', and all of them count as full throttle' : ''}.`,
    );
  if (hasPower && shaft.ratio === undefined)
    notes.push(
      `The brake is at the propeller shaft, but the engine file states no reduction ratio, so there is no torque${has('brake_power') ? '' : ', and no power'}.`,
    );
  if (hasPower && run.kind?.text === 'brake' && !run.room)
    notes.push('The run file states no room, so power is not corrected to a reference atmosphere.');
  notes.push(...assumptionsOf(configuration, columns, places));
  if (has('lambda') && !run.exhaust_delay) notes.push(delayNote(configuration));
  if (hasPower && !has('fuel_flow'))
    notes.push(
      `No fuel_flow is logged, so specific consumption is that of the fuel ${logged.pulseWidth ? 'of the logged injector_pulse_width' : 'as derived from the text'}.`,
    );
  if (has('lambda') && !logged.pulseWidth)
    notes.push('No injector_pulse_width is logged, so the fuel is taken as derived from the text.');
  if (has('lambda') && !logged.chargeTemperature)
    notes.push('No charge_temperature is logged, so it is taken as derived from the text.');
  if (has('lambda') && configuration.fuel?.cylinder_trim)
    notes.push('The logged pulse width is taken as that of a cylinder without a trim.');
  if (shaft.note) notes.push(shaft.note);
  return notes;
}

function delayNote(configuration: EngineConfiguration): string {
  const revolutions = turnsPerCycle(configuration)?.canonical;
  if (revolutions === undefined)
    return 'The exhaust delay is neither stated nor can be estimated without `engine.cycle`, so no row has a lambda.';
  const lag = formatQuantity(exhaustDelay({ cycleTime: 0 }), 'ms');
  return `The exhaust delay is not stated. It is estimated as one cycle (${360 * revolutions} degrees of crank angle) and ${lag} for the sensor, without transport through the pipe.`;
}

export const LARGE_TRIM_NOTE = `A lambda_trim beyond ± ${formatQuantity(LARGEST_TRIM, '%')} cannot be a correction, so it counts as missing.`;

/** What derived values take for a column that is missing. */
function assumptionsOf(
  configuration: EngineConfiguration,
  columns: Columns,
  { air, knowsAmbient, temperatureQuantity }: RowPlaces,
): string[] {
  const notes: string[] = [];
  if (!knowsAmbient) notes.push('Ambient pressure is not measured; that of sea level is assumed.');
  if (!air && temperatureQuantity === undefined)
    notes.push('Ambient temperature is not measured; that of the standard atmosphere is assumed.');
  if (!air && temperatureQuantity === 'intake_air_temperature')
    notes.push('Ambient temperature is not logged; the logged intake air temperature is taken for it.');
  if (columns.place('coolant_temperature') < 0)
    notes.push(
      `No coolant_temperature is logged; a warm engine at ${formatQuantity(DEFAULT_COOLANT_TEMPERATURE, '°C')} is assumed.`,
    );
  if (columns.place('battery_voltage') < 0)
    notes.push(
      `No battery_voltage is logged; the nominal ${formatQuantity(nominalVoltage(configuration).canonical, 'V')} are assumed.`,
    );
  return notes;
}

/** What is logged, and thus known without the text. */
export const loggedIn = (columns: Columns): Logged => ({
  chargeTemperature: columns.place('charge_temperature') >= 0,
  pulseWidth: columns.place('injector_pulse_width') >= 0,
});

/** The columns that are drawn over time: every number but the time itself. */
export const drawnColumns = ({ all }: Columns): number[] =>
  all.flatMap(({ type, quantity }, i) => (type === 'number' && quantity !== 'time' ? [i] : []));
