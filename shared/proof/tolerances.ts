import { type Interval, negate } from '../arithmetic/interval.ts';
import { effectsOn } from '../derived/sensitivity.ts';
import { isReadable, Trace } from '../derived/trace.ts';
import type { DerivedValue } from '../derived/value.ts';
import { memo } from '../memo.ts';
import { pathOf, pathText } from '../source/tree.ts';
import { Enclosure } from './enclosure.ts';
import { graphOf } from './graph.ts';
import { type Box, highestOf, type Problem } from './search.ts';
import { varyingIn } from './varying.ts';

/** The uncertainty of a value that results from the tolerances of the file, in canonical units. */
export interface Uncertainty {
  /** The value is in this range wherever the numbers are within their tolerances, each independent of the others. */
  readonly low: number;
  readonly high: number;
  /** To first order. JCGM 100:2008 (GUM), 5.1.2, with a rectangular distribution of each number, 4.3.7. */
  readonly standard: number;
  /** The parts of the variance, largest first. */
  readonly shares: readonly { readonly at: string; readonly share: number }[];
}

/** The uncertainty of a value; undefined if it depends on no tolerance, or has no bounds. */
export const uncertaintyOf = memo((value: DerivedValue): Uncertainty | undefined => {
  if (!Number.isFinite(value.canonical)) return undefined;
  const trace = new Trace();
  const target = trace.indexOf(value);
  const ranges = varyingIn(trace);
  if (ranges.size === 0 || !isReadable(trace)) return undefined;
  const variables = new Map([...ranges.keys()].map((varying, i) => [varying, i]));
  const enclosure = new Enclosure([graphOf(trace, variables)[target]!]);
  const whole = [...ranges.values()];
  const [low, high] = [highestIn(enclosure, whole, -1), highestIn(enclosure, whole, 1)];
  return low === undefined || high === undefined
    ? undefined
    : { low: -low, high, ...standardUncertainty(value) };
});

/** The relative width to which a bound is found: well below a tenth of a per cent. */
const NEAR = 2e-4;
/** The same relative to the width of the first enclosure, where that gives more. */
const NEAR_OF_WIDTH = 2e-3;
const MOST_BOXES = 4000;

/** The highest value within the tolerances or, with `sign` −1, the negative of the lowest one. */
function highestIn(enclosure: Enclosure, whole: Box, sign: 1 | -1): number | undefined {
  const problem = problemOf(enclosure, whole.length, sign);
  const { low, high } = problem.over(whole);
  const width = Number.isFinite(high - low) ? high - low : 0;
  const near = (bound: number) => Math.max(NEAR * Math.abs(bound), NEAR_OF_WIDTH * width);
  const found = highestOf(problem, whole, (bound, reached) => bound - reached <= near(bound), MOST_BOXES);
  return found && Number.isFinite(found.bound) ? found.bound : undefined;
}

function problemOf(enclosure: Enclosure, count: number, sign: 1 | -1): Problem {
  const signed = (interval: Interval) => (sign === 1 ? interval : negate(interval));
  return {
    over: (box) => signed(enclosure.over(box)[0]!),
    slopes: () => enclosure.slopes(count).map((slope) => slope && signed(slope)),
    valueAt(place) {
      const [value] = enclosure.numbersAt(place);
      return Number.isNaN(value) ? undefined : sign * value!;
    },
    bends: Array.from({ length: count }, () => []),
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
