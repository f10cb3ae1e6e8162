import type { RunConfiguration } from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import { engineVolume, turnsPerCycle } from '../derived/cylinder.ts';
import { heatingValue } from '../derived/efficiency.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { fuelDensity } from '../derived/fuel.ts';
import { brakeMeanEffectivePressure } from '../physics/cylinder.ts';
import { powerOfTorque } from '../physics/measured.ts';
import { envelopeOf, VARIABLES, type Variable } from '../proof/envelope.ts';
import { Agreement, accuracyAt } from './agreement.ts';
import { Clock } from './clock.ts';
import type { Columns } from './columns.ts';
import { LambdaDelay } from './delay.ts';
import { FillingSum, fillingMapOf } from './filling-sum.ts';
import { engineKey, instrumentReader, nearestCell, notesOf, powerQuantity, QUANTITY_OF, torqueReader } from './fold-parts.ts';
import { LightWatch } from './lights.ts';
import type { LimitWatch } from './limit-watch.ts';
import { watchesOf } from './limits.ts';
import { ceilingOf, OutsideWatch } from './outside.ts';
import { PowerSum, USUAL_BIN } from './power.ts';
import { ROW_INPUTS, ROW_VALUES, RowModel } from './row-model.ts';
import { RowPlaces } from './row-places.ts';
import { accuraciesOf, airOf, bandsOf, correctionOf, shaftOf } from './setup.ts';
import { SteadyStretches } from './steady.ts';
import { MOST_LISTED, type RunSums } from './sums.ts';

/** From this throttle position on, power counts as that of full throttle. Common practice, no source. */
const FULL_THROTTLE = 0.98;
/** An engine that turns more slowly (rpm) does not run. */
const RUNNING = 50;
/** The lag of a lambda sensor (s), without a stated exhaust delay: 50 to 100 ms are published for wide-range sensors. */
const SENSOR_LAG = 0.06;
/** A trim (ratio) of this size is no correction but a factor around 1. */
const LARGEST_TRIM = 0.5;

export interface FoldOptions {
  readonly run: RunConfiguration;
  readonly path: string;
  readonly installation: Installation;
  readonly points: readonly OperatingPoint[];
  /** The engines that rows may be of, the one without a map set first if it may be. */
  readonly engines: readonly Engine[];
  readonly columns: Columns;
  /** The smallest step that the digits of a column show so far, in canonical units. */
  resolution(column: number): number;
}

/** Everything that depends on the engine of a row. */
interface OfEngine {
  readonly model: RowModel;
  readonly watches: readonly LimitWatch[];
  readonly outside: OutsideWatch | undefined;
  readonly agreement: Agreement;
  readonly filling: FillingSum | undefined;
  readonly visits: number[];
  readonly density: number;
}

/** Reads a run row by row and sums up what it says. Memory does not grow with the number of rows. */
export class RunFold {
  readonly sums: RunSums;
  readonly places: RowPlaces;
  readonly #clock = new Clock();
  readonly #steady: SteadyStretches;
  readonly #delay: LambdaDelay | undefined;
  readonly #engines: readonly OfEngine[];
  readonly #lights: LightWatch;
  readonly #inputs = new Float64Array(ROW_INPUTS.length);
  readonly #state = new Float64Array(VARIABLES.length);
  readonly #torque: (row: Float64Array) => number;
  readonly #factor: number;
  readonly #instruments: (row: Float64Array) => number;
  #engine: OfEngine;

  constructor(readonly options: FoldOptions) {
    const { run, columns, engines, path, installation, points } = options;
    const { configuration } = engines[0]!;
    const air = airOf(run);
    const places = new RowPlaces(columns, air);
    this.places = places;
    const shaft = shaftOf(run, configuration);
    const correction = correctionOf(run, configuration);
    this.#factor = correction && correction.standard !== 'none' ? correction.factor : Number.NaN;
    this.#torque = torqueReader(columns, shaft, places);
    const accuracies = accuraciesOf(run);
    const digits = (quantity: string) => {
      const place = columns.place(quantity);
      return place < 0 ? 0 : options.resolution(place) / 2;
    };
    const accuracyOf = (quantity: string, value: number) =>
      accuracyAt(accuracies.get(quantity === 'brake_power' ? powerQuantity(columns) : quantity), value);
    const digitsOf = (quantity: string, value: number) => {
      const own = quantity === 'brake_power' ? 0 : digits(quantity);
      const ofState = places.means.relative(digits) + digits('throttle_position');
      return own + Math.abs(quantity === 'charge_temperature' || quantity === 'ignition_advance' ? value / 3 : value) * ofState;
    };
    const maps = new Map<unknown, { sum: FillingSum; visits: number[] }>();
    const watches = new Map<string, LimitWatch>();
    const logged = {
      chargeTemperature: columns.place('charge_temperature') >= 0,
      pulseWidth: columns.place('injector_pulse_width') >= 0,
    };
    this.#engines = engines.map((engine): OfEngine => {
      const table = engine.configuration.fuel?.volumetric_efficiency;
      const map = fillingMapOf(table);
      if (map && !maps.has(table)) maps.set(table, { sum: new FillingSum(map), visits: map.now.map(() => 0) });
      const known = maps.get(table);
      const envelope = envelopeOf(engine, points);
      const slack = (name: Variable) => (value: number) => {
        const quantity = QUANTITY_OF[name];
        return quantity === undefined ? 0 : accuracyOf(quantity, value) + digits(quantity);
      };
      return {
        model: new RowModel(engine, logged),
        watches: watchesOf(engine, columns, places).map((watch) => {
          const same = watches.get(watch.sum.at);
          if (!same) watches.set(watch.sum.at, watch);
          return same ?? watch;
        }),
        outside:
          envelope &&
          new OutsideWatch(
            envelope,
            Object.fromEntries(VARIABLES.map((name) => [name, slack(name)])) as OutsideWatch['slack'],
            ceilingOf(engine, envelope),
          ),
        agreement: new Agreement(engine.configuration, columns, (row) => this.#power(row), accuracyOf, digitsOf),
        filling: known?.sum,
        visits: known?.visits ?? [],
        density: fuelDensity(engine.configuration)?.canonical ?? Number.NaN,
      };
    });
    this.#engine = this.#engines[0]!;
    this.#lights = new LightWatch(columns, [...watches.values()]);
    this.#instruments = instrumentReader(columns, places, accuracyOf, digits, logged, configuration);
    const volume = engineVolume(configuration)?.canonical;
    const revolutions = turnsPerCycle(configuration)?.canonical;
    this.sums = {
      files: [path],
      engine: engineKey([...maps.values()].map(({ sum }) => sum.map), installation),
      kind: run.kind?.text ?? 'brake',
      ...{ rows: 0, refused: [], refusedCount: 0, gaps: [], gapCount: 0 },
      columns: columns.all.map(({ name, quantity, unit }) => ({ name, quantity, unit })),
      ...{ steady: [], steadyCount: 0, steadyRows: 0, agreement: [], lights: [], lightCount: 0 },
      limits: [...watches.values()].map(({ sum }) => sum),
      ...{ outside: [], outsideCount: 0 },
      filling: [...maps.values()].map(({ sum }) => sum),
      visits: [...maps.values()].map(({ visits }) => visits),
      power: new PowerSum(run.speed_bins?.canonical ?? USUAL_BIN),
      corrections: correction ? [correction] : [],
      perTorque:
        volume === undefined || revolutions === undefined
          ? undefined
          : brakeMeanEffectivePressure({
              power: powerOfTorque({ torque: 1, speed: 1000 }),
              revolutions,
              displacement: volume,
              speed: 1000,
            }),
      heatingValue: heatingValue(configuration.fuel)?.canonical,
      notes: [...notesOf(options, places, logged, shaft), ...(correction ? [correction.note] : [])],
    };
    this.#steady = new SteadyStretches(bandsOf(run), places.steady, {
      row: (row) => this.#steadyRow(row),
      end: (from, to, rows) => this.#endStretch(from, to, rows),
    });
    const delay = run.exhaust_delay?.canonical;
    if (places.lambda >= 0)
      this.#delay = new LambdaDelay(
        places,
        delay === undefined
          ? // 720 degrees of crank angle from the intake to the exhaust.
            (row) => 120 / Math.max(row[places.speed]!, 300) + SENSOR_LAG
          : () => delay,
        (row) => this.#steady.row(row),
      );
  }

  /** Notes a line that could not be read. */
  refuse(line: number, reason: string): void {
    this.sums.refusedCount++;
    if (this.sums.refused.length < MOST_LISTED) this.sums.refused.push({ line, reason, file: 0 });
  }

  /**
   * Adds a row: the columns in canonical units, NaN for what is missing, and behind them places for what follows from them.
   * `index` counts the rows of the data from 0.
   */
  row(row: Float64Array, line: number, index: number): void {
    const { places, sums } = this;
    const time = row[places.time]!;
    const refusal = this.#clock.refusal(time);
    if (refusal !== undefined) {
      this.refuse(line, refusal);
      return;
    }
    const before = this.#clock.lastUsed;
    if (this.#clock.advance(time)) {
      this.#interrupt(before);
      sums.gapCount++;
      if (sums.gaps.length < MOST_LISTED) sums.gaps.push({ from: before, to: time, rows: 0, file: 0 });
    }
    sums.rows++;
    const engine = this.#engines[places.mapSet < 0 ? 0 : (row[places.mapSet]! || 0)] ?? this.#engines[0]!;
    if (engine !== this.#engine) {
      this.#delay?.interrupt();
      this.#steady.interrupt();
      this.#engine = engine;
    }
    places.complete(row, engine.density, index);
    this.#watch(row, time, index, engine);
    if (this.#delay) this.#delay.row(row);
    else this.#steady.row(row);
  }

  /** What was summed up, after the last row. */
  finish(): RunSums {
    this.#interrupt(this.#clock.lastUsed);
    const { sums } = this;
    const agreements = this.#engines.flatMap(({ agreement }) => agreement.sums);
    for (const sum of agreements) {
      const same = sums.agreement.find(({ quantity, at }) => quantity === sum.quantity && at === sum.at);
      if (!same) sums.agreement.push(sum);
      else {
        same.residual.merge(sum.residual);
        same.measured.merge(sum.measured);
        for (const name of ['stretches', 'beyond', 'accuracy', 'digits'] as const) same[name] += sum[name];
      }
    }
    for (const { outside } of this.#engines) {
      sums.outside.push(...(outside?.found ?? []));
      sums.outsideCount += outside?.count ?? 0;
    }
    sums.outside.sort((a, b) => a.row - b.row);
    sums.lights = this.#lights.found;
    sums.lightCount = this.#lights.count;
    return sums;
  }

  #interrupt(time: number): void {
    this.#delay?.interrupt();
    this.#steady.interrupt();
    for (const { watches, outside } of this.#engines) {
      for (const watch of watches) watch.clear(time);
      outside?.interrupt();
    }
    this.#lights.interrupt(time);
  }

  #watch(row: Float64Array, time: number, index: number, { watches, outside, filling, visits }: OfEngine): void {
    const { places } = this;
    for (const watch of watches) watch.row(row, time, index);
    this.#lights.row(row, time);
    const speed = row[places.speed]!;
    if (!(speed > RUNNING)) return;
    if (outside) {
      places.state(row, this.#state);
      outside.row(this.#state, time, index);
    }
    const pressure = row[places.manifoldPressure]!;
    if (filling && pressure > 0) visits[nearestCell(filling.map, speed, pressure)]!++;
  }

  #power(row: Float64Array): number {
    const { brakePower, speed } = this.places;
    if (brakePower >= 0) return row[brakePower]! / this.places.shaftEfficiency;
    return powerOfTorque({ torque: this.#torque(row), speed: row[speed]! });
  }

  #steadyRow(row: Float64Array): void {
    const { places, sums } = this;
    const { model, agreement, filling } = this.#engine;
    const speed = row[places.speed]!;
    if (!(speed > RUNNING)) return;
    places.inputs(row, this.#inputs);
    model.evaluate(this.#inputs);
    agreement.row(row, model);
    const { values } = model;
    const trim = places.trim < 0 ? 0 : row[places.trim]!;
    if (filling && Math.abs(trim) < LARGEST_TRIM) {
      const found = values[FILLING]!;
      if (found > 0 && Number.isFinite(found)) {
        const before = filling.rows;
        filling.add(speed, values[AXIS]!, found);
        if (filling.rows > before) filling.instruments += this.#instruments(row) ** 2;
      }
    }
    if (places.throttle >= 0 && !(row[places.throttle]! >= FULL_THROTTLE)) return;
    if (places.brakePower < 0 && places.torque < 0) return;
    const power = this.#power(row);
    const flow = places.fuelFlow >= 0 ? row[places.fuelFlow]! : values[FLOW]!;
    sums.power.add(speed, this.#torque(row), power, power * this.#factor, flow);
  }

  #endStretch(from: number, to: number, rows: number): void {
    const { sums } = this;
    sums.steadyCount++;
    sums.steadyRows += rows;
    if (sums.steady.length < MOST_LISTED) sums.steady.push({ from, to, rows, file: 0 });
    this.#engine.agreement.endStretch();
    this.#engine.filling?.endStretch();
    this.#engine.filling?.mapSets.add(this.options.engines[this.#engines.indexOf(this.#engine)]!.mapSet ?? '');
    sums.power.endStretch();
  }
}

const FILLING = ROW_VALUES.indexOf('filling');
const AXIS = ROW_VALUES.indexOf('axisPressure');
const FLOW = ROW_VALUES.indexOf('deliveredFlow');
