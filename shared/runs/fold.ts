import { VARIABLES } from '../proof/envelope.ts';
import { Clock } from './clock.ts';
import { LambdaDelay } from './delay.ts';
import { emptySums } from './empty-sums.ts';
import { type OfEngine, partsOfEngines } from './engine-parts.ts';
import { instrumentReader } from './filling-instruments.ts';
import type { FoldOptions } from './fold-options.ts';
import {
  type CrankReaders,
  crankReaders,
  drawnColumns,
  LARGE_TRIM_NOTE,
  loggedIn,
  notesOf,
} from './fold-parts.ts';
import { Instruments } from './instruments.ts';
import { LightWatch } from './lights.ts';
import { RowPlaces } from './row-places.ts';
import { ROW_INPUTS, ROW_VALUES } from './row-values.ts';
import { airOf, bandsOf, correctionOf, exhaustDelayOf, shaftOf } from './setup.ts';
import { SteadyStretches } from './steady.ts';
import { addAgreement, MOST_LISTED, type RunSums } from './sums.ts';
import { Timeline } from './timeline.ts';

/** From this throttle position on, power counts as that of full throttle. Common practice, no source. */
const FULL_THROTTLE = 0.98;
/** An engine that turns more slowly (rpm) does not run. */
const RUNNING = 50;

/** Reads a run row by row and sums up what it says. Memory does not grow with the number of rows. */
export class RunFold {
  readonly sums: RunSums;
  readonly places: RowPlaces;
  /** The course of the run; of one run only, as it is not part of the sums. */
  readonly timeline: Timeline;
  readonly #clock = new Clock();
  readonly #steady: SteadyStretches;
  readonly #delay: LambdaDelay | undefined;
  readonly #engines: readonly OfEngine[];
  readonly #lights: LightWatch;
  readonly #inputs = new Float64Array(ROW_INPUTS.length);
  readonly #state = new Float64Array(VARIABLES.length);
  readonly #crank: CrankReaders;
  readonly #factor: number;
  readonly #instruments: (row: Float64Array) => number;
  /** The squared uncertainty of the filling by its instruments in the current stretch, once it is known. */
  #ofInstruments: number | undefined;
  #engine: OfEngine;

  constructor(readonly options: FoldOptions) {
    const { run, columns, engines } = options;
    const { configuration } = engines[0]!;
    const air = airOf(run);
    const places = new RowPlaces(columns, air);
    this.places = places;
    this.timeline = new Timeline(drawnColumns(columns));
    const shaft = shaftOf(run, configuration);
    const correction = correctionOf(run, configuration);
    this.#factor = correction && correction.standard !== 'none' ? correction.factor : Number.NaN;
    this.#crank = crankReaders(shaft, places);
    const logged = loggedIn(columns);
    const instruments = new Instruments(run, columns, places, options.resolution);
    const parts = partsOfEngines(options, places, logged, instruments, this.#crank.power);
    this.#engines = parts.engines;
    this.#engine = this.#engines[0]!;
    this.#lights = new LightWatch(columns, parts.watches);
    this.#instruments = instrumentReader(places, instruments, configuration);
    this.sums = emptySums(options, parts, correction, notesOf(options, places, logged, shaft));
    this.#steady = new SteadyStretches(bandsOf(run), places.steady, {
      row: (row) => this.#steadyRow(row),
      end: (from, to, rows) => this.#endStretch(from, to, rows),
    });
    const delay = exhaustDelayOf(run, configuration);
    if (places.lambda >= 0)
      this.#delay = new LambdaDelay(
        places,
        (row) => delay(row[places.speed]!),
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
   * `index` counts the rows of the data from 0. Returns whether the row is used.
   */
  row(row: Float64Array, line: number, index: number): boolean {
    const { places, sums } = this;
    const time = row[places.time]!;
    const refusal = this.#clock.refusal(time);
    if (refusal !== undefined) {
      this.refuse(line, refusal);
      return false;
    }
    const before = this.#clock.lastUsed;
    if (this.#clock.advance(time)) {
      this.#interrupt(before);
      sums.gapCount++;
      if (sums.gaps.length < MOST_LISTED) sums.gaps.push({ from: before, to: time, rows: 0, file: 0 });
    }
    sums.rows++;
    // A row that names no map set has that of the row before.
    const engine = this.#engines[places.mapSet < 0 ? 0 : row[places.mapSet]!] ?? this.#engine;
    if (engine !== this.#engine) this.#switchTo(engine, time);
    places.complete(row, engine.density);
    this.#watch(row, time, index, engine);
    this.timeline.add(row, time);
    if (this.#delay) this.#delay.row(row);
    else this.#steady.row(row);
    return true;
  }

  /** What was summed up, after the last row. */
  finish(): RunSums {
    this.#interrupt(this.#clock.lastUsed);
    const { sums } = this;
    if (this.places.hasLargeTrims) sums.notes.push(LARGE_TRIM_NOTE);
    for (const { agreement } of this.#engines)
      for (const sum of agreement.sums) addAgreement(sums.agreement, sum);
    for (const { outside } of this.#engines) {
      sums.outside.push(...(outside?.found ?? []));
      sums.outsideCount += outside?.count ?? 0;
    }
    sums.outside.sort((a, b) => a.row - b.row);
    sums.lights = this.#lights.found;
    sums.lightCount = this.#lights.count;
    return sums;
  }

  /** The limits and the envelope of the map set that is left no longer apply. */
  #switchTo(engine: OfEngine, time: number): void {
    this.#delay?.interrupt();
    this.#steady.interrupt();
    for (const watch of this.#engine.watches) if (!engine.watches.includes(watch)) watch.clear(time);
    this.#engine.outside?.interrupt();
    this.#engine = engine;
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

  #watch(row: Float64Array, time: number, index: number, { watches, outside }: OfEngine): void {
    const { places } = this;
    for (const watch of watches) watch.row(row, time, index);
    this.#lights.row(row, time);
    if (!outside || !(row[places.speed]! > RUNNING)) return;
    places.state(row, this.#state);
    outside.row(this.#state, time, index);
  }

  #steadyRow(row: Float64Array): void {
    const { places, sums } = this;
    const { model, agreement, filling, nominalVoltage } = this.#engine;
    const speed = row[places.speed]!;
    if (!(speed > RUNNING)) return;
    places.inputs(row, this.#inputs, nominalVoltage);
    model.evaluate(this.#inputs);
    agreement.row(row, model);
    const { values } = model;
    const found = values[FILLING]!;
    if (filling && found > 0 && Number.isFinite(found)) {
      // All rows of a stretch are in one state, so one of them stands for the others.
      this.#ofInstruments ??= this.#instruments(row);
      filling.add(speed, values[AXIS]!, found, this.#ofInstruments);
    }
    if (places.throttle >= 0 && !(row[places.throttle]! >= FULL_THROTTLE)) return;
    if (places.brakePower < 0 && places.torque < 0) return;
    const power = this.#crank.power(row);
    const flow = places.fuelFlow >= 0 ? row[places.fuelFlow]! : values[FLOW]!;
    sums.power.add(speed, this.#crank.torque(row), power, power * this.#factor, flow);
  }

  #endStretch(from: number, to: number, rows: number): void {
    const { sums } = this;
    sums.steadyCount++;
    sums.steadyRows += rows;
    if (sums.steady.length < MOST_LISTED) sums.steady.push({ from, to, rows, file: 0 });
    this.#engine.agreement.endStretch();
    const { filling } = this.#engine;
    this.#ofInstruments = undefined;
    filling?.endStretch();
    filling?.mapSets.add(this.options.engines[this.#engines.indexOf(this.#engine)]!.mapSet ?? '');
    sums.power.endStretch();
  }
}

const FILLING = ROW_VALUES.indexOf('filling');
const AXIS = ROW_VALUES.indexOf('axisPressure');
const FLOW = ROW_VALUES.indexOf('deliveredFlow');
