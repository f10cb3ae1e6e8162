import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import { nodeOf, type TableValue } from '../configuration/values.ts';
import { chargeTemperature, manifoldPressure, pressureOnAxis, targetManifoldPressure } from '../derived/charge-air.ts';
import { cycleTime, sweptVolume } from '../derived/cylinder.ts';
import {
  deadTime,
  duty,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorFlow,
  injectorsPerCylinder,
  pulseWidth,
  stoichiometricRatio,
} from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import { type Conditions, OperatingPoint } from '../derived/operating-point.ts';
import { stepsTo, Trace } from '../derived/trace.ts';
import { apply, chosen, type MaybeOperand, type Operand } from '../derived/value.ts';
import { estimatedPower } from '../physics/cylinder.ts';
import type { Formula } from '../physics/formula.ts';
import { fuelFlow } from '../physics/injector.ts';
import { fuelMassOfPulse, measuredFilling } from '../physics/measured.ts';
import { trimmedFuelMass } from '../physics/trim.ts';

/** What a row states, in canonical units, in the order of the numbers that `RowModel.evaluate` takes. */
export const ROW_INPUTS = [
  'speed',
  'throttle',
  'manifoldPressure',
  'pressureAltitude',
  'isaDeviation',
  'coolantTemperature',
  'batteryVoltage',
  'chargeTemperature',
  'pulseWidth',
  'lambda',
  'trim',
] as const;

export type RowInput = (typeof ROW_INPUTS)[number];

/** What is derived at the state of a row. */
export const ROW_VALUES = [
  'targetPressure',
  'chargeTemperature',
  'advance',
  'pulseWidth',
  'duty',
  'fuelFlow',
  'power',
  'deliveredFlow',
  'filling',
  'axisPressure',
] as const;

export type RowValue = (typeof ROW_VALUES)[number];

/** What is logged, and thus known without the text. */
export type Logged = Readonly<Record<'chargeTemperature' | 'pulseWidth', boolean>>;

/** A state in which every value can be derived; the recorded formulas hold in every other one as well. */
const SAMPLE: Readonly<Record<RowInput, number>> = {
  speed: 3000,
  throttle: 0.5,
  manifoldPressure: 90_000,
  pressureAltitude: 0,
  isaDeviation: 0,
  coolantTemperature: 363,
  batteryVoltage: 13.8,
  chargeTemperature: 310,
  pulseWidth: 0.008,
  lambda: 1,
  trim: 0,
};

type Step =
  | { readonly type: 'input'; readonly place: number; readonly index: number }
  | { readonly type: 'table'; readonly place: number; readonly table: TableValue; readonly x: number; readonly y: number }
  | {
      readonly type: 'formula';
      readonly place: number;
      readonly of: Formula['of'];
      readonly operands: readonly number[];
      readonly numbers: number[];
    }
  | {
      readonly type: 'switch';
      readonly place: number;
      readonly within: number;
      readonly outside: number;
      readonly ranges: readonly { readonly of: number; readonly low: number; readonly high: number }[];
    };

/**
 * The derived chain of an engine at the state of a row, recorded once and then evaluated with the numbers of each row: the
 * same formulas as at operating points, without their explanations.
 */
export class RowModel {
  readonly #steps: readonly Step[];
  readonly #numbers: Float64Array;
  readonly #places: readonly number[];
  /** The values of the last row, in the order of `ROW_VALUES`; NaN for what cannot be derived. */
  readonly values = new Float64Array(ROW_VALUES.length);

  constructor(engine: Engine, logged: Logged) {
    const operands = Object.fromEntries(
      ROW_INPUTS.map((name) => [name, { canonical: SAMPLE[name] }]),
    ) as unknown as Record<RowInput, Operand>;
    const results = resultsOf(engine, operands, logged);
    const trace = new Trace(engine.configuration);
    const roots = ROW_VALUES.map((name) => (results[name] ? trace.indexOf(results[name]) : undefined));
    const needed = new Set(roots.flatMap((root) => (root === undefined ? [] : stepsTo(trace, root))));
    const inputs = new Map<Operand, number>(ROW_INPUTS.map((name, i) => [operands[name], i]));
    const all = [...needed].sort((a, b) => a - b).map((index) => compiled(trace, index, inputs));
    this.#numbers = new Float64Array(trace.steps.length + 1).fill(Number.NaN);
    // What does not depend on the row is computed once.
    const moving: Step[] = [];
    const places = new Set<number>();
    for (const { step, uses } of all) {
      if (step.type === 'input' || uses.some((place) => places.has(place))) {
        moving.push(step);
        places.add(step.place);
      } else this.#run(step, NO_ROW);
    }
    this.#steps = moving;
    this.#places = roots.map((root) => root ?? trace.steps.length);
  }

  /** Whether a value can be derived at all. */
  has(value: RowValue): boolean {
    return this.#places[ROW_VALUES.indexOf(value)]! < this.#numbers.length - 1;
  }

  /** Derives `values` from the numbers of a row, in the order of `ROW_INPUTS`. */
  evaluate(row: Float64Array): void {
    for (const step of this.#steps) this.#run(step, row);
    for (let i = 0; i < this.#places.length; i++) this.values[i] = this.#numbers[this.#places[i]!]!;
  }

  #run(step: Step, row: Float64Array): void {
    const numbers = this.#numbers;
    switch (step.type) {
      case 'input':
        numbers[step.place] = row[step.index]!;
        break;
      case 'table':
        numbers[step.place] =
          lookUp(step.table, numbers[step.x]!, step.y < 0 ? undefined : numbers[step.y]!) ?? Number.NaN;
        break;
      case 'formula': {
        const { operands, numbers: list } = step;
        for (let i = 0; i < operands.length; i++) list[i] = numbers[operands[i]!]!;
        numbers[step.place] = step.of(list);
        break;
      }
      default:
        numbers[step.place] = chosen(
          numbers[step.within]!,
          numbers[step.outside]!,
          step.ranges.map(({ of, low, high }) => ({ of: numbers[of]!, low, high })),
        );
    }
  }
}

const NO_ROW = new Float64Array(ROW_INPUTS.length).fill(Number.NaN);

interface CompiledStep {
  readonly step: Step;
  /** The places of the steps that it refers to. */
  readonly uses: readonly number[];
}

function compiled(trace: Trace, place: number, inputs: ReadonlyMap<Operand, number>): CompiledStep {
  const found = trace.steps[place]!;
  switch (found.type) {
    case 'input': {
      const index = inputs.get(found.operand);
      if (index !== undefined) return { step: { type: 'input', place, index }, uses: [] };
      const { canonical } = found.operand;
      return { step: { type: 'formula', place, of: () => canonical, operands: [], numbers: [] }, uses: [] };
    }
    case 'table': {
      const { table, x, y } = found;
      return { step: { type: 'table', place, table, x, y: y ?? -1 }, uses: y === undefined ? [x] : [x, y] };
    }
    case 'formula': {
      const { formula, operands } = found;
      return { step: { type: 'formula', place, of: formula.of, operands, numbers: [] }, uses: operands };
    }
    default: {
      const { within, outside, ranges } = found;
      const uses = [within, outside, ...ranges.map(({ of }) => of)];
      return { step: { type: 'switch', place, within, outside, ranges }, uses };
    }
  }
}

function resultsOf(
  engine: Engine,
  row: Readonly<Record<RowInput, Operand>>,
  logged: Logged,
): Readonly<Record<RowValue, MaybeOperand>> {
  const { configuration } = engine;
  const { fuel, engine: section } = configuration;
  const free: Conditions = {
    speed: row.speed,
    throttle: row.throttle,
    manifoldPressure: undefined,
    pressureAltitude: row.pressureAltitude,
    isaDeviation: row.isaDeviation,
    lambda: undefined,
    coolantTemperature: row.coolantTemperature,
    batteryVoltage: row.batteryVoltage,
  };
  const held: Conditions = { ...free, manifoldPressure: row.manifoldPressure };
  const unknown = new OperatingPoint('', engine, free, nodeOf(section ?? configuration));
  const derived = unknown.inState(held);
  const point = logged.chargeTemperature
    ? unknown.inState({ ...held, chargeTemperature: row.chargeTemperature })
    : derived;
  const cylinders = section?.cylinders;
  const fuelOf = (fuelMass: MaybeOperand) => apply(fuelFlow, { fuelMass, cylinders, cycleTime: point.get(cycleTime) });
  const fuelOfText = apply(trimmedFuelMass, { fuelMass: point.get(fuelMassPerCycle), trim: row.trim });
  const pulse = pulseWidth(point, point.get(injectorFlow), fuelOfText);
  const flow = fuelOf(fuelOfText);
  const delivered = logged.pulseWidth
    ? apply(fuelMassOfPulse, {
        pulseWidth: row.pulseWidth,
        deadTime: deadTime(point),
        flow: point.get(injectorFlow),
        fuelDensity: fuelDensity(configuration),
        injectorsPerCylinder: injectorsPerCylinder(configuration),
        injections: injections(configuration),
      })
    : fuelOfText;
  return {
    // Without a compressor, the throttle does not determine the pressure.
    targetPressure: configuration.boost ? unknown.get(targetManifoldPressure) : undefined,
    chargeTemperature: derived.get(chargeTemperature),
    advance: point.get(ignitionAdvance),
    pulseWidth: pulse,
    duty: duty(point, pulse),
    fuelFlow: flow,
    power: apply(estimatedPower, { fuelFlow: flow, specificConsumption: section?.specific_consumption }),
    deliveredFlow: fuelOf(delivered),
    filling: apply(measuredFilling, {
      fuelMass: delivered,
      stoichiometricRatio: stoichiometricRatio(configuration),
      lambda: row.lambda,
      chargeTemperature: point.get(chargeTemperature),
      manifoldPressure: point.get(manifoldPressure),
      cylinderVolume: sweptVolume(configuration),
    }),
    axisPressure: pressureOnAxis(point, fuel?.volumetric_efficiency?.y),
  };
}
