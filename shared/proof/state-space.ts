import { EMPTY, type Interval, isPoint, middleOf, point as pointInterval } from '../arithmetic/interval.ts';
import { intervalSlopes, type Sloped } from '../arithmetic/slopes.ts';
import type { Engine } from '../configuration/installation.ts';
import { lookUp, type WhichTable } from '../configuration/lookup.ts';
import {
  availableManifoldPressure,
  manifoldPressure,
  targetManifoldPressure,
  unboostedManifoldPressure,
} from '../derived/charge-air.ts';
import { chained, chooseRange, numberOf, rangeOf } from '../derived/formula-reading.ts';
import type { Conditions, PointValue } from '../derived/operating-point.ts';
import { tableRange } from '../derived/table-range.ts';
import { operandsOf, readTrace, stepsTo, Trace, TracedPoint } from '../derived/trace.ts';
import { apply, chosen, type DerivedValue, type Operand, type Result } from '../derived/value.ts';
import * as physics from '../physics/charge-air.ts';
import type { Node } from '../source/tree.ts';
import { type Envelope, VARIABLES, type Variable } from './envelope.ts';
import type { Box, Problem } from './search.ts';

/** An engine in all states of its envelope: one derivation is recorded, then evaluated over boxes of states. */
export class StateSpace {
  readonly #trace = new Trace();
  readonly #variables: ReadonlyMap<Operand, number>;
  readonly #ceiling: number;
  /** A point whose derived values can be bounded over all states. */
  readonly point: TracedPoint;
  readonly whole: Box;

  private constructor(
    readonly engine: Engine,
    readonly envelope: Envelope,
    operands: Readonly<Record<Variable, Operand>>,
    free: TracedPoint,
    ceiling: Result,
  ) {
    this.#variables = new Map(VARIABLES.map((name, i) => [operands[name], i]));
    this.#ceiling = this.#trace.indexOf(ceiling);
    const pressure = apply(physics.manifoldPressure, {
      target: operands.manifold_pressure,
      available: ceiling,
    })!;
    this.point = free.inState({ ...free.conditions, manifoldPressure: pressure });
    const { ranges, lowestPressure } = envelope;
    const states = VARIABLES.map(
      (name) => ({ ...ranges, manifold_pressure: pointInterval(lowestPressure) })[name],
    );
    const highest = this.#read(this.#ceiling, states).value.high;
    this.whole = states.with(VARIABLES.indexOf('manifold_pressure'), {
      low: lowestPressure,
      high: Math.max(lowestPressure, highest),
    });
  }

  /** The states of an engine; undefined if the highest manifold pressure is unknown. */
  static of(
    engine: Engine,
    envelope: Envelope,
    node: Node,
    ceilingOf = ceilingOfEngine,
  ): StateSpace | undefined {
    const { ranges, lowestPressure } = envelope;
    const middles = { ...ranges, manifold_pressure: pointInterval(lowestPressure) };
    const operands = Object.fromEntries(
      VARIABLES.map((name) => [name, { canonical: middleOf(middles[name]) }]),
    ) as Record<Variable, Operand>;
    const free = new TracedPoint('', engine, conditionsOf(operands), node);
    const ceiling = ceilingOf(free, envelope);
    return ceiling && new StateSpace(engine, envelope, operands, free, ceiling);
  }

  /**
   * A value of `point`, or a value derived from such values, as a function of the state; negated to find its minimum.
   */
  problemOf(value: DerivedValue | Result, side: 'high' | 'low'): Problem {
    const target = this.#trace.indexOf(value);
    const steps = [
      ...new Set([...stepsTo(this.#trace, target), ...stepsTo(this.#trace, this.#ceiling)]),
    ].sort((a, b) => a - b);
    const sign = side === 'high' ? 1 : -1;
    return {
      enclose: (box) => {
        const values = this.#readAll(box, steps);
        if (values[this.#ceiling]!.value.high < this.envelope.lowestPressure)
          return { value: EMPTY, slopes: [] };
        const found = values[target]!;
        return side === 'high' ? found : intervalSlopes.negate(found);
      },
      valueAt: (place) => {
        const values = this.#numbersAt(place, steps);
        const number = values[target]!;
        return values[this.#ceiling]! < this.envelope.lowestPressure || Number.isNaN(number)
          ? undefined
          : sign * number;
      },
      bends: this.#bends(steps),
    };
  }

  /** A range that a value does not leave at one speed, in any state. */
  rangeAtSpeed(definition: PointValue, speed: number): Interval | undefined {
    const value = this.point.get(definition);
    if (!value) return undefined;
    const box = this.whole.with(VARIABLES.indexOf('speed'), pointInterval(speed));
    return this.#read(this.#trace.indexOf(value), box).value;
  }

  /** Whether two operands are equal in every state. */
  readonly isSame = (a: Operand | DerivedValue | Result, b: Operand | DerivedValue | Result): boolean =>
    this.#trace.indexOf(a) === this.#trace.indexOf(b);

  /** Whether a value depends on an operand. */
  follows(value: DerivedValue | Result, operand: Operand): boolean {
    return stepsTo(this.#trace, this.#trace.indexOf(value)).includes(this.#trace.indexOf(operand));
  }

  /** The variables that a value depends on, with manifold pressure as one of them. */
  variablesOf(value: DerivedValue | Result): readonly Variable[] {
    const found = new Set<Variable>();
    const seen = new Set<number>();
    const pressure = this.#trace.indexOf(this.point.get(manifoldPressure)!);
    const visit = (index: number): void => {
      if (seen.has(index)) return;
      seen.add(index);
      const step = this.#trace.steps[index]!;
      const variable = step.type === 'input' ? this.#variables.get(step.operand) : undefined;
      if (index === pressure) found.add('manifold_pressure');
      else if (variable !== undefined) found.add(VARIABLES[variable]!);
      else operandsOf(step).forEach(visit);
    };
    visit(this.#trace.indexOf(value));
    return VARIABLES.filter((name) => found.has(name));
  }

  /** The state at a point, as an operating point would state it: in canonical units, with absolute pressure. */
  stateAt(place: readonly number[]): Readonly<Record<Variable, number>> {
    const pressure = this.#trace.indexOf(this.point.get(manifoldPressure)!);
    const numbersAt = this.#numbersAt(place, stepsTo(this.#trace, pressure));
    const state = Object.fromEntries(VARIABLES.map((name, i) => [name, place[i]!])) as Record<
      Variable,
      number
    >;
    return { ...state, manifold_pressure: numbersAt[pressure]! };
  }

  #read(step: number, box: Box): Sloped<Interval> {
    return this.#readAll(box, stepsTo(this.#trace, step))[step]!;
  }

  #readAll(box: Box, steps: readonly number[]): Sloped<Interval>[] {
    const inputs = box.map((value, i) => ({ value, slopes: isPoint(value) ? [] : unit(i) }));
    return readTrace(
      this.#trace,
      {
        input: (operand) => inputs[this.#variables.get(operand) ?? -1] ?? fixed(operand.canonical),
        table: (which, x, y) => this.#lookUpRange(which, x, y),
        formula: rangeOf,
        choose: chooseRange,
      },
      steps,
    );
  }

  #numbersAt(place: readonly number[], steps: readonly number[]): number[] {
    return readTrace(
      this.#trace,
      {
        input: (operand) => place[this.#variables.get(operand) ?? -1] ?? operand.canonical,
        table: (which, x, y) => lookUp(which(this.engine.configuration)!, x, y)!,
        formula: numberOf,
        choose: chosen,
      },
      steps,
    );
  }

  #lookUpRange(which: WhichTable, x: Sloped<Interval>, y?: Sloped<Interval>): Sloped<Interval> {
    const { value, alongX, alongY } = tableRange(which(this.engine.configuration)!, x.value, y?.value)!;
    return { value, slopes: chained([alongX, alongY], y ? [x, y] : [x]) };
  }

  /** The breakpoints of the tables whose input is a variable itself or the manifold pressure. */
  #bends(steps: readonly number[]): number[][] {
    const bends = VARIABLES.map(() => new Set<number>());
    const pressure = VARIABLES.indexOf('manifold_pressure');
    const variableOf = (index: number | undefined): number | undefined => {
      const step = index === undefined ? undefined : this.#trace.steps[index];
      if (step?.type === 'input') return this.#variables.get(step.operand);
      // Manifold pressure is the variable itself, as far as boost or ambient pressure allow.
      return step?.type === 'formula' && isPressure(step.formula.formula.id) ? pressure : undefined;
    };
    for (const index of steps) {
      const step = this.#trace.steps[index]!;
      if (step.type === 'switch') {
        for (const { of, low, high } of step.ranges) {
          const variable = variableOf(of);
          if (variable !== undefined) for (const end of [low, high]) bends[variable]!.add(end);
        }
      }
      if (step.type !== 'table') continue;
      const { x, y } = step.which(this.engine.configuration)!;
      for (const [axis, by] of [
        [x, step.x],
        [y, step.y],
      ] as const) {
        const variable = variableOf(by);
        if (variable !== undefined) for (const bend of axis?.breakpoints ?? []) bends[variable]!.add(bend);
      }
    }
    return bends.map((some) => [...some].sort((a, b) => a - b));
  }
}

const isPressure = (id: string): boolean =>
  id === physics.manifoldPressure.id || id === 'stated-manifold-pressure';

const ONE = pointInterval(1);
const unit = (i: number) => VARIABLES.map((_, j) => (i === j ? ONE : undefined));
const fixed = (canonical: number): Sloped<Interval> => ({ value: pointInterval(canonical), slopes: [] });

/** A state with free manifold pressure. */
const conditionsOf = (operands: Readonly<Record<Variable, Operand>>): Conditions => ({
  speed: operands.speed,
  throttle: operands.throttle,
  pressureAltitude: operands.pressure_altitude,
  isaDeviation: operands.isa_deviation,
  manifoldPressure: undefined,
  lambda: undefined,
  coolantTemperature: operands.coolant_temperature,
  batteryVoltage: operands.battery_voltage,
});

/** The highest manifold pressure that boost can produce or, without a compressor, ambient pressure. */
function ceilingOfEngine(point: TracedPoint, { overshoot }: Envelope): Result | undefined {
  const { boost } = point.configuration;
  if (!boost) return point.get(unboostedManifoldPressure)?.result;
  const target = point.get(targetManifoldPressure);
  const available = point.get(availableManifoldPressure);
  const highest = apply(physics.absolutePressure, { ambientPressure: target, boostPressure: overshoot });
  if (!highest || !available) return highest ?? available?.result;
  return apply(physics.manifoldPressure, { target: highest, available });
}
