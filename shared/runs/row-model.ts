import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { stepsTo, Trace } from '../derived/trace.ts';
import { chosen, type Operand } from '../derived/value.ts';
import { FlatProgram } from './flat-program.ts';
import { type Logged, ROW_INPUTS, ROW_VALUES, type RowInput, resultsOf } from './row-values.ts';

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
  | {
      readonly type: 'table';
      readonly place: number;
      readonly table: TableValue;
      readonly x: number;
      readonly y: number;
    }
  | { readonly type: 'formula'; readonly place: number; readonly from: number; readonly to: number }
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
  readonly #steps: readonly CompiledStep[];
  /** Whether the number at a place differs from that of the row before. */
  readonly #changed: Uint8Array;
  readonly #program: FlatProgram;
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
    const program = new FlatProgram(trace.steps.length + 1);
    const all = [...needed].sort((a, b) => a - b).map((index) => compiled(trace, index, inputs, program));
    this.#program = program;
    this.#numbers = program.start();
    this.#changed = new Uint8Array(trace.steps.length);
    // What does not depend on the row is computed once.
    const moving: CompiledStep[] = [];
    const places = new Set<number>();
    for (const one of all) {
      const { step, uses } = one;
      if (step.type === 'input' || uses.some((place) => places.has(place))) {
        moving.push(one);
        places.add(step.place);
      } else this.#run(step, NO_ROW);
    }
    this.#steps = moving;
    // The last place stays NaN, for what cannot be derived.
    this.#places = roots.map((root) => root ?? trace.steps.length);
  }

  /** Derives `values` from the numbers of a row, in the order of `ROW_INPUTS`. */
  evaluate(row: Float64Array): void {
    const changed = this.#changed;
    for (const { step, uses } of this.#steps) {
      const { place } = step;
      if (step.type === 'input') {
        const value = row[step.index]!;
        changed[place] = value === this.#numbers[place] ? 0 : 1;
        this.#numbers[place] = value;
        continue;
      }
      // Most rows have the altitude, the coolant and the voltage of the row before.
      let isChanged = 0;
      for (let i = 0; i < uses.length; i++) isChanged |= changed[uses[i]!]!;
      changed[place] = isChanged;
      if (isChanged) this.#run(step, row);
    }
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
      case 'formula':
        this.#program.run(numbers, step.from, step.to);
        break;
      default:
        numbers[step.place] = step.ranges.some(({ of }) => Number.isNaN(numbers[of]!))
          ? Number.NaN
          : chosen(
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

function compiled(
  trace: Trace,
  place: number,
  inputs: ReadonlyMap<Operand, number>,
  program: FlatProgram,
): CompiledStep {
  const found = trace.steps[place]!;
  switch (found.type) {
    case 'input': {
      const index = inputs.get(found.operand);
      if (index !== undefined) return { step: { type: 'input', place, index }, uses: [] };
      const { canonical } = found.operand;
      return { step: { type: 'formula', place, ...program.number(canonical, place) }, uses: [] };
    }
    case 'table': {
      const { table, x, y } = found;
      return { step: { type: 'table', place, table, x, y: y ?? -1 }, uses: y === undefined ? [x] : [x, y] };
    }
    case 'formula': {
      const { formula, operands } = found;
      return {
        step: { type: 'formula', place, ...program.formula(formula, operands, place) },
        uses: operands,
      };
    }
    default: {
      const { within, outside, ranges } = found;
      const uses = [within, outside, ...ranges.map(({ of }) => of)];
      return { step: { type: 'switch', place, within, outside, ranges }, uses };
    }
  }
}
