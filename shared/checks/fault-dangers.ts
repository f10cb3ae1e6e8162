import type { Sensor } from '../../generated/configuration.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { faultedLambda, faultedPoint, type SensorFault } from '../derived/faults.ts';
import { targetLambda } from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { addedAdvance } from '../proof/added-advance.ts';
import type { Side } from '../proof/bound.ts';
import type { Beyond, Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { lambdaAtHighLoad, lambdaUnderFault } from '../proof/targets.ts';
import type { Severity } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import type { MixtureLimit } from './usual-mixture.ts';
import { formatNumber, formatQuantity, formatStated, numberBeside } from './words.ts';

/** The effect of a fault at a point; NaN where it is not known. */
export interface Consequence {
  readonly lambda: number;
  readonly soundLambda: number;
  readonly moreAdvance: number;
  /** Manifold pressure with the fault and without it, Pa absolute; undefined where it is not known. */
  readonly pressure: number | undefined;
  readonly soundPressure: number | undefined;
}

export function consequenceOf(fault: SensorFault, point: OperatingPoint): Consequence {
  const faulted = faultedPoint(point, fault);
  const { assumed, actual } = faulted;
  const advance = (state: OperatingPoint) => state.number(ignitionAdvance) ?? Number.NaN;
  return {
    lambda: faultedLambda(faulted)?.canonical ?? Number.NaN,
    soundLambda: point.number(targetLambda) ?? Number.NaN,
    moreAdvance: advance(assumed) - advance(actual),
    pressure: actual.number(manifoldPressure),
    soundPressure: point.number(manifoldPressure),
  };
}

/** The effect at an operating point, derived once for all checks. */
export const consequenceAt = (point: OperatingPoint, fault: SensorFault): Consequence =>
  point.fact(fault, (one) => consequenceOf(fault, one));

/** How a failed sensor can endanger the engine. */
export type Harm = 'lean' | 'early' | 'rich';

/** The thresholds of the check, in canonical units. */
export type FaultLimits = Readonly<
  Record<
    'load' | 'leanest_at_load' | 'leanest' | 'allowance' | 'advance' | 'richest' | 'leanest_running',
    number
  >
>;

/**
 * The leanest lambda that a fault may cause at an operating point, at its manifold pressure (Pa). An unknown pressure counts as
 * high load.
 */
export function leanestUnderFault(
  limits: FaultLimits,
  usual: MixtureLimit,
  pressure: number | undefined,
): number {
  if (pressure === undefined) return limits.leanest_at_load;
  return pressure >= limits.load
    ? Math.min(limits.leanest_at_load, usual.at(pressure) * (1 + limits.allowance))
    : limits.leanest;
}

/**
 * The richest lambda that a fault may cause at an operating point, at its manifold pressure (Pa). A mixture that is beyond the
 * curve without the fault already is judged only by the mixture with which the engine may stop.
 */
export function richestUnderFault(
  { richest, allowance }: FaultLimits,
  usual: MixtureLimit,
  { pressure, soundLambda }: Pick<Consequence, 'pressure' | 'soundLambda'>,
): number {
  if (pressure === undefined) return richest;
  const limit = Math.max(richest, usual.at(pressure) * (1 - allowance));
  return passes(limit, soundLambda) ? richest : limit;
}

/** The effect at an operating point. */
type AtPoint = Consequence & { readonly point: OperatingPoint };

/**
 * The bound of lambda with a failed sensor, if it is beyond a limit; `from` is the manifold pressure (Pa) from which it is
 * bounded, if not everywhere. What exceeds the limit without the fault is not an effect of it.
 */
function* lambdaBeyond(
  proof: Proof,
  fault: string,
  { id, side, limit, from }: { id: string; side: Side; limit: number; from?: number },
): Generator<Pause, Beyond | undefined> {
  const question = { side, limitOf: () => limit };
  const beyond = yield* proof.beyond({ ...question, id, fault });
  if (!beyond) return undefined;
  const regionsOf = () => [from === undefined ? {} : { lowestPressure: from }];
  return (yield* proof.beyond({ ...question, regionsOf, id: targetLambda.id })) ? undefined : beyond;
}

/**
 * Whether a mixture that is too rich counts in every state. Without manifold pressure only operating points count: a
 * substitute that suits full load is far too rich at idle in every engine.
 */
export const floodsInAnyState = ({ measures }: Sensor): boolean => measures?.text !== 'manifold_pressure';

/** An effect of a failed sensor: the bound that shows it, and the words for it. */
export interface Danger {
  readonly harm: Harm;
  readonly severity: Severity;
  /** The effect in canonical units, as a bound gives it. */
  numberOf(judged: Consequence): number;
  beyond(
    proof: Proof,
    sensor: Sensor,
    fault: string,
    limits: FaultLimits,
  ): Generator<Pause, Beyond | undefined>;
  /** What is bounded, within a sentence. */
  label(name: string): string;
  atPoint(judged: AtPoint): string;
  inState(beyond: Beyond, where: string): string;
  readonly verb: string;
}

/** Every such effect. */
export const DANGERS: readonly Danger[] = [
  {
    harm: 'lean',
    severity: 'warning',
    numberOf: ({ lambda }) => lambda,
    *beyond(proof, _, fault, { leanest_at_load, leanest, load }) {
      const [atLoad, anywhere] = [lambdaAtHighLoad.id, lambdaUnderFault.id];
      const high = { side: 'high' } as const;
      return (
        (yield* lambdaBeyond(proof, fault, { ...high, id: atLoad, limit: leanest_at_load, from: load })) ??
        (yield* lambdaBeyond(proof, fault, { ...high, id: anywhere, limit: leanest }))
      );
    },
    label: (name) => `lambda with ${name} failed`,
    atPoint: ({ lambda, soundLambda, point }) =>
      `lambda at ${quote(point.name)} is ${formatNumber(lambda, 3)} instead of ${formatNumber(soundLambda, 3)}`,
    inState: ({ reached, limit }, where) =>
      `lambda reaches ${numberBeside(reached, limit)} ${where}, above the limit of ${formatNumber(limit)}`,
    verb: 'gives',
  },
  {
    harm: 'early',
    severity: 'warning',
    numberOf: ({ moreAdvance }) => moreAdvance,
    beyond: (proof, _, fault, { advance }) =>
      proof.beyond({ id: addedAdvance.id, side: 'high', fault, limitOf: () => advance }),
    label: (name) => `the advance error with ${name} failed`,
    atPoint: ({ moreAdvance, point }) =>
      `the spark at ${quote(point.name)} is ${formatQuantity(moreAdvance, 'deg', 2)} too early`,
    inState: ({ reached, limit }, where) =>
      `the spark is ${formatQuantity(reached, 'deg', 3)} too early ${where}, above the limit of ${formatStated(limit, 'deg')}`,
    verb: 'gives',
  },
  {
    harm: 'rich',
    severity: 'information',
    numberOf: ({ lambda }) => lambda,
    *beyond(proof, sensor, fault, { richest }) {
      if (!floodsInAnyState(sensor)) return undefined;
      return yield* lambdaBeyond(proof, fault, { id: lambdaUnderFault.id, side: 'low', limit: richest });
    },
    label: (name) => `lambda with ${name} failed`,
    atPoint: ({ lambda, point }) =>
      `lambda at ${quote(point.name)} is ${formatNumber(lambda, 3)}, so rich that the engine may stop`,
    inState: ({ reached, limit }, where) =>
      `lambda falls to ${numberBeside(reached, limit)} ${where}, below the limit of ${formatNumber(limit)}, so rich that the engine may stop`,
    verb: 'gives',
  },
];
