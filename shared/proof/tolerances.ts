import { add, enclose, type Interval, isPoint, negate, point } from '../arithmetic/interval.ts';
import { intervalSlopes, type Sloped } from '../arithmetic/slopes.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { chained, chooseRange, numberOf, rangeOf } from '../derived/formula-reading.ts';
import { effectsOn } from '../derived/sensitivity.ts';
import { tableRange } from '../derived/table-range.ts';
import { toleranceAt, tolerantTableRange } from '../derived/table-tolerance.ts';
import { isReadable, type Reading, readTrace, Trace } from '../derived/trace.ts';
import { chosen, type DerivedValue, type Operand } from '../derived/value.ts';
import { memo } from '../memo.ts';
import { halfWidthOf } from '../quantity/index.ts';
import { pathOf, pathText } from '../source/tree.ts';
import { type Box, highestOf, type Problem } from './search.ts';

/** What the tolerances of the file leave open about a value, in canonical units. */
export interface Uncertainty {
  /** The value is in here wherever in their tolerances the numbers are, each independent of the others. */
  readonly low: number;
  readonly high: number;
  /** To first order. JCGM 100:2008 (GUM), 5.1.2, with a rectangular distribution of each number, 4.3.7. */
  readonly standard: number;
  /** The parts of the variance, largest first. */
  readonly shares: readonly { readonly at: string; readonly share: number }[];
}

/** Something that varies within a tolerance: a number of the file, or all values of a table together, from −1 to 1. */
type Varying = Operand | TableValue;

/** What the tolerances leave open about a value; undefined if it follows from none, or has no bounds. */
export const uncertaintyOf = memo((value: DerivedValue): Uncertainty | undefined => {
  if (!Number.isFinite(value.canonical)) return undefined;
  const trace = new Trace();
  const target = trace.indexOf(value);
  const ranges = rangesIn(trace);
  if (ranges.size === 0 || !isReadable(trace)) return undefined;
  const [low, high] = [highestIn(trace, target, ranges, -1), highestIn(trace, target, ranges, 1)];
  return low === undefined || high === undefined
    ? undefined
    : { low: -low, high, ...standardUncertainty(value) };
});

/** The tolerances of everything that a trace reads. */
export function rangesIn({ steps }: Pick<Trace, 'steps'>): ReadonlyMap<Varying, Interval> {
  const ranges = new Map<Varying, Interval>();
  for (const step of steps) {
    if (step.type === 'table' && step.table.tolerance) ranges.set(step.table, { low: -1, high: 1 });
    if (step.type === 'input') {
      const range = rangeOfOperand(step.operand);
      if (range) ranges.set(step.operand, range);
    }
  }
  return ranges;
}

function rangeOfOperand({ quantity, canonical }: Operand): Interval | undefined {
  if (!quantity?.tolerance) return undefined;
  const width = enclose(halfWidthOf(quantity.tolerance, quantity.canonical));
  if (width.high <= 0) return undefined;
  return add(point(canonical), { low: negate(width).low, high: width.high });
}

/** The relative width to which a bound is found: well below a tenth of a per cent. */
const NEAR = 2e-4;
/** Of its own width, where that is wider. */
const NEAR_OF_WIDTH = 2e-3;
const MOST_BOXES = 4000;

/** The highest value within the tolerances or, with `sign` −1, the negative of the lowest one. */
function highestIn(
  trace: Trace,
  target: number,
  ranges: ReadonlyMap<Varying, Interval>,
  sign: 1 | -1,
): number | undefined {
  const problem = problemOf(trace, target, ranges, sign);
  const whole = [...ranges.values()];
  const { value } = problem.enclose(whole);
  const width = Number.isFinite(value.high - value.low) ? value.high - value.low : 0;
  const near = (bound: number) => Math.max(NEAR * Math.abs(bound), NEAR_OF_WIDTH * width);
  const found = highestOf(problem, whole, (bound, reached) => bound - reached <= near(bound), MOST_BOXES);
  return found && Number.isFinite(found.bound) ? found.bound : undefined;
}

function problemOf(
  trace: Trace,
  target: number,
  ranges: ReadonlyMap<Varying, Interval>,
  sign: 1 | -1,
): Problem {
  const indices = new Map([...ranges.keys()].map((varying, i) => [varying, i]));
  return {
    enclose(box) {
      const result = readTrace(trace, rangeReading(indices, box))[target]!;
      return sign === 1 ? result : intervalSlopes.negate(result);
    },
    valueAt(place) {
      const value = readTrace(trace, numberReading(indices, place))[target]!;
      return Number.isNaN(value) ? undefined : sign * value;
    },
    bends: [...ranges].map(() => []),
  };
}

function rangeReading(indices: ReadonlyMap<Varying, number>, box: Box): Reading<Sloped<Interval>> {
  const inputs = box.map((value, i) => ({
    value,
    slopes: isPoint(value) ? [] : box.map((_, j) => (i === j ? ONE : undefined)),
  }));
  const inputOf = (varying: Varying) => inputs[indices.get(varying) ?? -1];
  return {
    input: (operand) => inputOf(operand) ?? { value: point(operand.canonical), slopes: [] },
    table(table, x, y) {
      const shift = inputOf(table);
      if (!shift) {
        const { value, alongX, alongY } = tableRange(table, x.value, y?.value)!;
        return { value, slopes: chained([alongX, alongY], y ? [x, y] : [x]) };
      }
      const range = tolerantTableRange(table, shift.value, x.value, y?.value);
      const { value, alongShift, alongX, alongY } = range;
      return { value, slopes: chained([alongShift, alongX, alongY], y ? [shift, x, y] : [shift, x]) };
    },
    formula: rangeOf,
    choose: chooseRange,
  };
}

const ONE = point(1);

function numberReading(indices: ReadonlyMap<Varying, number>, place: readonly number[]): Reading<number> {
  const inputOf = (varying: Varying) => place[indices.get(varying) ?? -1];
  return {
    input: (operand) => inputOf(operand) ?? operand.canonical,
    table: (table, x, y) => lookUp(table, x, y)! + (inputOf(table) ?? 0) * toleranceAt(table, x, y),
    formula: numberOf,
    choose: chosen,
  };
}

/** Half the width of a rectangular distribution in standard deviations. GUM, 4.3.7. */
const RECTANGULAR = Math.sqrt(3);

function standardUncertainty(value: DerivedValue): Pick<Uncertainty, 'standard' | 'shares'> {
  const parts = effectsOn(value)
    .map(({ node, ofTolerance }) => ({
      at: pathText(pathOf(node)),
      variance: (ofTolerance / RECTANGULAR) ** 2,
    }))
    .filter(({ variance }) => variance > 0)
    .sort((a, b) => b.variance - a.variance);
  const total = parts.reduce((sum, { variance }) => sum + variance, 0);
  return {
    standard: Math.sqrt(total),
    shares: parts.map(({ at, variance }) => ({ at, share: variance / total })),
  };
}
