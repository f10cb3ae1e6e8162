import { type Interval, middleOf, point as pointInterval } from '../arithmetic/interval.ts';
import { nextDown, nextUp } from '../arithmetic/rounding.ts';
import type { Engine } from '../configuration/installation.ts';
import {
  availableManifoldPressure,
  manifoldPressure,
  maximumPressureRatio,
  pressureRatio,
  targetManifoldPressure,
  unboostedManifoldPressure,
} from '../derived/charge-air.ts';
import { type Conditions, OperatingPoint, type PointValue } from '../derived/operating-point.ts';
import { operandsOf, stepsTo, Trace } from '../derived/trace.ts';
import { apply, type DerivedValue, type Operand, type Result } from '../derived/value.ts';
import * as physics from '../physics/charge-air.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';
import type { AtTolerance } from './bound.ts';
import { Enclosure } from './enclosure.ts';
import { type Envelope, VARIABLES, type Variable } from './envelope.ts';
import { type GraphNode, graphOf, recording } from './graph.ts';
import { GraphValues } from './graph-values.ts';
import type { Box, Cut, Problem } from './search.ts';
import { stateProblem } from './state-problem.ts';
import { type Varying, varyingIn } from './varying.ts';

/** An engine in all states of its envelope: one derivation is recorded, then evaluated over boxes of states. */
export class StateSpace {
  readonly #trace: Trace;
  /** The index of each variable: first those of the state, then what varies within a tolerance. */
  readonly #variables: Map<Varying, number>;
  readonly #ceiling: number;
  /** The graph of each step recorded so far. */
  readonly #graph: GraphNode[] = [];
  readonly #values = new GraphValues();
  /** A point whose derived values can be bounded over all states. */
  readonly point: OperatingPoint;
  #whole: Box;

  private constructor(
    readonly engine: Engine,
    readonly envelope: Envelope,
    operands: Readonly<Record<Variable, Operand>>,
    free: OperatingPoint,
    ceiling: Result,
  ) {
    this.#trace = new Trace(engine.configuration);
    this.#variables = new Map(VARIABLES.map((name, i) => [operands[name], i]));
    this.#ceiling = this.#trace.indexOf(ceiling);
    const pressure = apply(physics.manifoldPressure, {
      target: operands.manifold_pressure,
      available: ceiling,
    })!;
    this.point = free.inState({ ...free.conditions, manifoldPressure: pressure });
    const { ranges, lowestPressure } = envelope;
    this.#whole = VARIABLES.map(
      (name) => ({ ...ranges, manifold_pressure: pointInterval(lowestPressure) })[name],
    );
    // No state has a ceiling below the lowest pressure, so this limit changes no result but narrows the enclosures.
    const lowest = recording.constant(lowestPressure);
    this.#graph[this.#trace.indexOf(pressure)] = recording.minimum(
      this.#graphOf(this.#trace.indexOf(operands.manifold_pressure)),
      recording.maximum(this.#graphOf(this.#ceiling), lowest),
    );
    this.#limitRatio();
    const [ceilings] = this.#enclosureOf(this.#ceiling).over(this.#whole);
    this.#whole = this.#whole.with(VARIABLES.indexOf('manifold_pressure'), {
      low: lowestPressure,
      high: Math.max(lowestPressure, ceilings!.high),
    });
  }

  /** All states, and all tolerances that the problems so far depend on. */
  get whole(): Box {
    return this.#whole;
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
    const free = new OperatingPoint('', engine, conditionsOf(operands), node);
    const ceiling = ceilingOf(free, envelope);
    return ceiling && new StateSpace(engine, envelope, operands, free, ceiling);
  }

  /**
   * A value or condition of `point`, or a value derived from such values, as a function of the state; negated to find
   * its minimum.
   */
  problemOf(value: Operand | DerivedValue | Result, side: 'high' | 'low'): Problem {
    const target = this.#trace.indexOf(value);
    const steps = [
      ...new Set([...stepsTo(this.#trace, target), ...stepsTo(this.#trace, this.#ceiling)]),
    ].sort((a, b) => a - b);
    const ofCeiling = this.#variablesOf(stepsTo(this.#trace, this.#ceiling));
    const besides = this.#variablesOf(stepsTo(this.#trace, target, this.#ceiling));
    const problem = stateProblem(
      {
        value: this.#enclosureOf(target, this.#ceiling),
        ceiling: this.#enclosureOf(this.#ceiling),
        lowestPressure: this.envelope.lowestPressure,
        ofCeiling,
        onlyOfCeiling: ofCeiling.filter((variable) => !besides.includes(variable)),
        bends: this.#bends(steps),
      },
      side,
    );
    return { ...problem, valueAt: (place) => problem.valueAt(this.#complete(place)) };
  }

  /** A range that a value does not leave at one speed, in any state. */
  rangeAtSpeed(definition: PointValue, speed: number): Interval | undefined {
    const value = this.point.get(definition);
    if (!value) return undefined;
    const box = this.whole.with(VARIABLES.indexOf('speed'), pointInterval(speed));
    return this.#enclosureOf(this.#trace.indexOf(value)).over(box)[0];
  }

  /** Whether two operands are equal in every state. */
  readonly isSame = (a: Operand | DerivedValue | Result, b: Operand | DerivedValue | Result): boolean =>
    this.#trace.indexOf(a) === this.#trace.indexOf(b);

  /** Whether a value depends on an operand. */
  follows(value: Operand | DerivedValue | Result, operand: Operand): boolean {
    return stepsTo(this.#trace, this.#trace.indexOf(value)).includes(this.#trace.indexOf(operand));
  }

  /** The variables that a value depends on, with manifold pressure as one of them. */
  variablesOf(value: Operand | DerivedValue | Result): readonly Variable[] {
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
    const [found] = this.#enclosureOf(pressure).numbersAt(this.#complete(place));
    const state = Object.fromEntries(VARIABLES.map((name, i) => [name, place[i]!])) as Record<
      Variable,
      number
    >;
    return { ...state, manifold_pressure: found! };
  }

  /**
   * What is at an end of its tolerance at a place, of what a value follows from. What raises the ceiling counts only if the
   * manifold pressure of the place needs that.
   */
  tolerancesAt(place: readonly number[], value: Operand | DerivedValue | Result): readonly AtTolerance[] {
    const isOfState = (i: number) => i < VARIABLES.length;
    const written = place.map((number, i) => (isOfState(i) ? number : middleOf(this.#whole[i]!)));
    const [ceiling] = this.#enclosureOf(this.#ceiling).numbersAt(this.#complete(written));
    const needed =
      this.stateAt(place).manifold_pressure > ceiling! ? stepsTo(this.#trace, this.#ceiling) : [];
    const followed = this.#variablesOf([
      ...stepsTo(this.#trace, this.#trace.indexOf(value), this.#ceiling),
      ...needed,
    ]);
    return [...this.#variables].flatMap(([{ node }, i]): AtTolerance[] => {
      if (isOfState(i) || i >= place.length || !followed.includes(i) || !node) return [];
      const { low, high } = this.#whole[i]!;
      const at = pathText(pathOf(node));
      if (place[i] === low) return [{ at, end: 'low' }];
      return place[i] === high ? [{ at, end: 'high' }] : [];
    });
  }

  /** Extends a place that was found before further tolerances were known: those numbers are as written. */
  #complete(place: readonly number[]): readonly number[] {
    const added = this.#whole.slice(place.length);
    return added.length === 0 ? place : [...place, ...added.map(middleOf)];
  }

  #graphOf(step: number): GraphNode {
    for (const [varying, range] of varyingIn(this.#trace)) {
      if (this.#variables.has(varying)) continue;
      this.#variables.set(varying, this.#whole.length);
      this.#whole = [...this.#whole, range];
    }
    graphOf(this.#trace, this.#variables, this.#graph);
    return this.#graph[step]!;
  }

  #enclosureOf(...steps: readonly number[]): Enclosure {
    return new Enclosure(
      steps.map((step) => this.#graphOf(step)),
      this.#values,
    );
  }

  /**
   * The manifold pressure of a state is one that the compressor can supply, so its pressure ratio is at most the
   * compressor's. That narrows enclosures, in which the two pressures of the ratio vary independently.
   */
  #limitRatio(): void {
    const ratio = this.point.get(pressureRatio);
    const maximum = maximumPressureRatio(this.point.configuration);
    if (!ratio || !maximum || maximum.canonical < 1) return;
    const step = this.#trace.indexOf(ratio);
    const most = this.#graphOf(this.#trace.indexOf(maximum));
    this.#graph[step] = recording.minimum(this.#graphOf(step), most);
  }

  /** The variables among some steps. */
  #variablesOf(steps: readonly number[]): number[] {
    return steps.flatMap((index) => {
      const found = this.#trace.steps[index]!;
      const varying =
        found.type === 'input' ? found.operand : found.type === 'table' ? found.table : undefined;
      return (varying && this.#variables.get(varying)) ?? [];
    });
  }

  /**
   * The breakpoints of the tables whose input is a variable itself or the manifold pressure, and the ends of switches.
   */
  #bends(steps: readonly number[]): Cut[][] {
    const bends = this.#whole.map(() => new Map<number, Cut>());
    const pressure = VARIABLES.indexOf('manifold_pressure');
    const variableOf = (index: number | undefined): number | undefined => {
      const step = index === undefined ? undefined : this.#trace.steps[index];
      if (step?.type === 'input') return this.#variables.get(step.operand);
      // Manifold pressure is the variable itself, as far as boost or ambient pressure allows.
      return step?.type === 'formula' && step.formula.id === physics.manifoldPressure.id
        ? pressure
        : undefined;
    };
    const addCut = (by: number | undefined, below: number, above = below) => {
      const variable = variableOf(by);
      if (variable !== undefined) bends[variable]!.set(below, { below, above });
    };
    for (const index of steps) {
      const step = this.#trace.steps[index]!;
      if (step.type === 'switch') {
        for (const { of, low, high } of step.ranges) {
          addCut(of, nextDown(low), low);
          addCut(of, high, nextUp(high));
        }
      }
      if (step.type !== 'table') continue;
      const { x, y } = step.table;
      for (const bend of x?.breakpoints ?? []) addCut(step.x, bend);
      for (const bend of y?.breakpoints ?? []) addCut(step.y, bend);
    }
    return bends.map((some) => [...some.values()].sort((a, b) => a.below - b.below));
  }
}

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
function ceilingOfEngine(point: OperatingPoint, { overshoot }: Envelope): Result | undefined {
  const { boost } = point.configuration;
  if (!boost) return point.get(unboostedManifoldPressure)?.result;
  const target = point.get(targetManifoldPressure);
  const available = point.get(availableManifoldPressure);
  const highest = apply(physics.absolutePressure, { ambientPressure: target, boostPressure: overshoot });
  if (!highest || !available) return highest ?? available?.result;
  return apply(physics.manifoldPressure, { target: highest, available });
}
