import { DEFAULT_COOLANT_TEMPERATURE } from '../derived/operating-point.ts';
import {
  altitudeForPressure,
  ambientPressure,
  ambientTemperature,
  SEA_LEVEL_PRESSURE,
} from '../physics/atmosphere.ts';
import { VARIABLES } from '../proof/envelope.ts';
import type { Columns } from './columns.ts';
import { ROW_INPUTS } from './row-values.ts';
import type { Air } from './setup.ts';

/** A trim (ratio) beyond this is no correction but a factor around 1, or a percentage around 100. */
export const LARGEST_TRIM = 0.5;

/**
 * Where a row holds each quantity: its columns as they are logged, and behind them what follows from these. Derived values take
 * pressures as absolute and fuel flows by mass, so a column in other terms has a place behind the columns as well.
 */
export class RowPlaces {
  readonly time: number;
  readonly speed: number;
  readonly throttle: number;
  /** Absolute. */
  readonly manifoldPressure: number;
  readonly lambda: number;
  readonly torque: number;
  readonly brakePower: number;
  /** By mass. */
  readonly fuelFlow: number;
  readonly mapSet: number;
  /** Behind the columns. */
  readonly ambient: number;
  readonly altitude: number;
  readonly deviation: number;
  /** That of the fuel of the row's map set, kg/m³. */
  readonly density: number;
  /** The lambda that the row's cylinder events cause. */
  readonly shifted: number;
  /** The length of a row. */
  readonly length: number;
  /** Rows used so far, to know the usual size of speed and pressure. */
  readonly means = new StateMeans();
  lastDensity = Number.NaN;
  /** Whether a row had a trim beyond `LARGEST_TRIM`. */
  hasLargeTrims = false;
  readonly #trimColumn: number;
  readonly #charge: number;
  readonly #coolant: number;
  readonly #battery: number;
  readonly #pulse: number;
  /** The columns of a gauge pressure and of a volume flow; -1 for other terms. */
  readonly #gaugePressure: number;
  readonly #volumeFlow: number;
  readonly #pressureColumn: number;
  readonly #altitudeColumn: number;
  readonly #temperatureColumn: number;
  #lastPressure = Number.NaN;
  #lastAltitude = Number.NaN;

  constructor(
    readonly columns: Columns,
    readonly air: Air | undefined,
  ) {
    const place = (quantity: string) => columns.place(quantity);
    this.time = place('time');
    this.speed = place('engine_speed');
    this.throttle = place('throttle_position');
    this.lambda = place('lambda');
    this.#trimColumn = place('lambda_trim');
    this.torque = place('torque');
    this.brakePower = place('brake_power');
    this.mapSet = place('map_set');
    this.#charge = place('charge_temperature');
    this.#coolant = place('coolant_temperature');
    this.#battery = place('battery_voltage');
    this.#pulse = place('injector_pulse_width');
    this.#pressureColumn = place('ambient_pressure');
    this.#altitudeColumn = place('pressure_altitude');
    const ambient = place('ambient_temperature');
    this.#temperatureColumn = ambient >= 0 ? ambient : place('intake_air_temperature');
    const [pressure, flow] = [place('manifold_pressure'), place('fuel_flow')];
    this.#gaugePressure = columns.all[pressure]?.reference === 'gauge' ? pressure : -1;
    this.#volumeFlow = columns.all[flow]?.isVolume ? flow : -1;
    const count = columns.all.length;
    [this.ambient, this.altitude, this.deviation] = [count, count + 1, count + 2];
    [this.shifted, this.density] = [count + 3, count + 4];
    this.manifoldPressure = this.#gaugePressure < 0 ? pressure : count + 5;
    this.fuelFlow = this.#volumeFlow < 0 ? flow : count + 6;
    this.length = count + 7;
  }

  /** The place of a quantity in the terms of derived values; -1 if it is not logged. */
  of(quantity: string): number {
    if (quantity === 'manifold_pressure') return this.manifoldPressure;
    return quantity === 'fuel_flow' ? this.fuelFlow : this.columns.place(quantity);
  }

  get steady() {
    return { time: this.time, speed: this.speed, pressure: this.manifoldPressure, throttle: this.throttle };
  }

  /** Whether the state of the ambient air is measured. */
  get knowsAmbient(): boolean {
    return this.air !== undefined || this.#pressureColumn >= 0 || this.#altitudeColumn >= 0;
  }

  /** The column that ambient temperature is taken from, if it is measured. */
  get temperatureQuantity(): string | undefined {
    return this.columns.all[this.#temperatureColumn]?.quantity;
  }

  /** Fills the places behind the columns. `density` is that of the fuel. */
  complete(row: Float64Array, density: number): void {
    row[this.density] = this.lastDensity = density;
    row[this.shifted] = this.lambda < 0 ? Number.NaN : row[this.lambda]!;
    this.#air(row);
    if (this.#gaugePressure >= 0) row[this.manifoldPressure] = row[this.#gaugePressure]! + row[this.ambient]!;
    if (this.#volumeFlow >= 0) row[this.fuelFlow] = row[this.#volumeFlow]! * density;
    this.means.add(row[this.speed]!, row[this.manifoldPressure]!);
  }

  #air(row: Float64Array): void {
    if (this.air) {
      row[this.ambient] = this.air.pressure;
      row[this.altitude] = this.air.altitude;
      row[this.deviation] = this.air.deviation;
      return;
    }
    const logged = at(row, this.#pressureColumn);
    if (!this.knowsAmbient) {
      row[this.ambient] = SEA_LEVEL_PRESSURE;
      row[this.altitude] = 0;
    } else if (!Number.isNaN(logged)) {
      if (logged !== this.#lastPressure) this.#lastAltitude = altitudeForPressure({ pressure: logged });
      this.#lastPressure = logged;
      row[this.ambient] = logged;
      row[this.altitude] = this.#lastAltitude;
    } else {
      const altitude = at(row, this.#altitudeColumn);
      row[this.ambient] = ambientPressure({ altitude });
      row[this.altitude] = altitude;
    }
    row[this.deviation] =
      this.#temperatureColumn < 0
        ? 0
        : row[this.#temperatureColumn]! - ambientTemperature({ altitude: row[this.altitude]!, deviation: 0 });
  }

  /** The numbers of `ROW_INPUTS`; the engine is warm, at its nominal voltage, if a column is missing, but not if a cell is empty. */
  inputs(row: Float64Array, into: Float64Array, nominalVoltage: number): void {
    into[0] = row[this.speed]!;
    into[1] = at(row, this.throttle);
    into[2] = row[this.manifoldPressure]!;
    into[3] = row[this.altitude]!;
    into[4] = row[this.deviation]!;
    into[5] = at(row, this.#coolant, DEFAULT_COOLANT_TEMPERATURE);
    into[6] = at(row, this.#battery, nominalVoltage);
    into[7] = at(row, this.#charge);
    into[8] = at(row, this.#pulse);
    into[9] = row[this.shifted]!;
    into[10] = this.#trim(row);
  }

  #trim(row: Float64Array): number {
    const trim = at(row, this.#trimColumn, 0);
    if (!(Math.abs(trim) > LARGEST_TRIM)) return trim;
    this.hasLargeTrims = true;
    return Number.NaN;
  }

  /** The numbers of `VARIABLES`, NaN for what is not measured. */
  state(row: Float64Array, into: Float64Array): void {
    const isFlight = this.air === undefined;
    into[0] = row[this.speed]!;
    into[1] = at(row, this.throttle);
    into[2] = row[this.manifoldPressure]!;
    // The room is no choice of the engine's operation.
    into[3] = isFlight && this.knowsAmbient ? row[this.altitude]! : Number.NaN;
    into[4] = isFlight && this.#temperatureColumn >= 0 ? row[this.deviation]! : Number.NaN;
    into[5] = at(row, this.#coolant);
    into[6] = at(row, this.#battery);
  }
}

/** The number at a place, NaN for an empty cell; without such a column, `otherwise`. */
const at = (row: Float64Array, place: number, otherwise = Number.NaN): number =>
  place < 0 ? otherwise : row[place]!;

/** The usual speed and pressure of a run. */
class StateMeans {
  #count = 0;
  #speed = 0;
  #pressure = 0;

  add(speed: number, pressure: number): void {
    if (!(speed > 0 && pressure > 0)) return;
    this.#count++;
    this.#speed += (speed - this.#speed) / this.#count;
    this.#pressure += (pressure - this.#pressure) / this.#count;
  }

  /** How far the digits of speed and pressure reach, relative. */
  relative(digits: (quantity: string) => number): number {
    if (this.#count === 0) return 0;
    return digits('engine_speed') / this.#speed + digits('manifold_pressure') / this.#pressure;
  }
}

// The lists are filled by position.
if (ROW_INPUTS.length !== 11 || VARIABLES.length !== 7) throw new TypeError('RowPlaces fills other numbers');
