import { manifoldPressure } from '../derived/charge-air.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import type { OperatingPoint, PointValue } from '../derived/operating-point.ts';
import { extremeOver, type ValueAtPoint } from '../derived/over-points.ts';
import type { Beyond, Proof, Question, Region } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { boundText, witnessWords } from '../proof/witness.ts';
import { addedWitness } from '../proof/witness-entry.ts';
import { valueAtWitness } from '../proof/witness-point.ts';
import type { Node } from '../source/tree.ts';
import type { EngineSubject, Fix, Found, Related } from './check.ts';
import { placesBehind } from './follows.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated } from './words.ts';

/** A value beyond its limit: in a state of the envelope, at an operating point, or both. */
export interface Excess {
  /** The value, in canonical units. */
  readonly reached: number;
  readonly limit: number;
  /** ``at `dash` `` or `at 5800 rpm, 147 kPa abs, …`. */
  readonly where: string;
  /** The operating point of `where`. It may be outside the envelope. */
  readonly named: ValueAtPoint | undefined;
  /** The operating point that exceeds the limit most. */
  readonly atPoint: ValueAtPoint | undefined;
  readonly bound: Beyond | undefined;
  /** `open` if no state is known to exceed the limit, but it is not proved that none does. */
  readonly verdict: Beyond['verdict'];
  readonly related: readonly Related[];
}

/**
 * A question about a value that operating points have too: `atPoints`, if the value has another name there because of a
 * fault.
 */
export interface PointQuestion extends Omit<Question, 'id'> {
  readonly value: PointValue;
  readonly atPoints?: PointValue;
  /** Whether an operating point counts; without it, all do. */
  counts?(point: OperatingPoint): boolean;
  /** If this value exceeds the limit in any state, another check reports that, and no other state counts. */
  readonly unless?: PointValue;
}

/** Relative difference up to which an operating point counts as being as far beyond a limit as the witness. */
const AS_FAR = 5e-4;

/** How a value exceeds its limit; undefined if it does so in no state of the envelope and at no operating point. */
export function* excessOf(
  { derivation }: EngineSubject,
  proof: Proof,
  { value, atPoints = value, counts = () => true, unless, ...question }: PointQuestion,
): Generator<Pause, Excess | undefined> {
  const { side, limitOf, regionsOf } = question;
  const sign = side === 'high' ? 1 : -1;
  const isBeyond = (point: OperatingPoint) => {
    if (regionsOf && !regionsOf(point.configuration).some((region) => isIn(region, point))) return false;
    const [number, limit] = [point.number(atPoints), limitOf(point.configuration)];
    return (
      number !== undefined && limit !== undefined && passes(sign * number, sign * limit) && counts(point)
    );
  };
  const { points } = derivation;
  const atPoint = extremeOver(points, atPoints, sign, isBeyond);
  const found = yield* proof.beyond({ ...question, id: value.id });
  const isReported = found && unless && (yield* proof.beyond({ ...question, id: unless.id })) !== undefined;
  const bound = isReported ? undefined : found;
  if (atPoint && (!bound || bound.verdict === 'open' || isAsFar(atPoint, bound))) {
    const limit = limitOf(atPoint.point.configuration)!;
    const reached = atPoint.value.canonical;
    return {
      reached,
      limit,
      ...named(atPoint),
      atPoint,
      bound,
      verdict: 'broken',
      related: [relatedTo(atPoint)],
    };
  }
  if (!bound) return undefined;
  const { reached, limit, verdict } = bound;
  const nearest = extremeOver(points, atPoints, sign, ({ engine }) => engine.mapSet === bound.mapSet);
  const where =
    nearest && isAsFar(nearest, bound)
      ? named(nearest)
      : { where: `at ${witnessWords(bound)}`, named: undefined };
  const related = atPoint ? [relatedTo(atPoint, `\`${atPoint.point.name}\` exceeds the limit too: `)] : [];
  return { reached, limit, ...where, atPoint, bound, verdict, related };
}

const named = (at: ValueAtPoint) => ({ where: `at \`${at.point.name}\``, named: at });

function isIn({ speed, lowestPressure }: Region, point: OperatingPoint): boolean {
  const at = point.conditions.speed.canonical;
  const isAtSpeed = !speed || (speed.low <= at && at <= speed.high);
  return (
    isAtSpeed && (lowestPressure === undefined || (point.number(manifoldPressure) ?? 0) >= lowestPressure)
  );
}

const isAsFar = ({ value }: ValueAtPoint, bound: Beyond): boolean => isNumberAsFar(value.canonical, bound);

/** Whether a number is about as far out as the value that the search for a bound reached, or further. */
export function isNumberAsFar(number: number, { side, reached }: Pick<Beyond, 'side' | 'reached'>): boolean {
  if (!Number.isFinite(reached)) return number === reached;
  const distance = side === 'high' ? reached - number : number - reached;
  return distance <= AS_FAR * Math.abs(reached);
}

const relatedTo = ({ point, value }: ValueAtPoint, before = ''): Related => ({
  at: point.node,
  message: `${before}${value.label}: ${value.substituted}`,
});

/** A relative difference too small to show in the numbers of a message. */
const NOTHING = 1e-5;

/**
 * ` (no state needs more than 87.4 %)`, with the bound rounded outward, or ` (no state needs more)` if that is the number
 * already given, to follow the state that reaches it; empty if an operating point outside the envelope exceeds the bound.
 */
export function boundClause({ bound, reached }: Pick<Excess, 'bound' | 'reached'>, verb: string): string {
  if (!bound) return '';
  const { side, show } = bound;
  if (side === 'high' ? bound.bound < reached : bound.bound > reached) return '';
  const text = boundText(bound, 3);
  const isReached = Math.abs(bound.bound - reached) <= NOTHING * Math.abs(reached);
  const than = isReached || text === formatQuantity(reached, show) ? '' : ` than ${text}`;
  return ` (no state ${verb} ${side === 'high' ? 'more' : 'less'}${than})`;
}

/** An undecided limit is between two numbers that differ little. */
const DIGITS = 6;

/** The finding for an undecided bound: nothing is proved, and how far the search got. */
export function openFinding(
  at: Found['at'],
  label: string,
  { bound, where }: Pick<Excess, 'bound' | 'where'>,
  fixes: readonly Fix[],
): Found {
  const { side, limit, reached, show } = bound!;
  const [reaches, none, may] =
    side === 'high'
      ? ['reaches', 'no state exceeds', 'exceed']
      : ['falls to', 'no state is below', 'be below'];
  return {
    at,
    severity: 'information',
    message: `Limit of ${formatStated(limit, show)} not proved: ${label} ${reaches} ${formatQuantity(reached, show, DIGITS)} ${where}; ${none} ${boundText(bound!, DIGITS)}, but one may ${may} the limit.`,
    fixes,
  };
}

/**
 * Adds the witness of a bound as an operating point, so that every value of that state can be seen. Not offered if an
 * operating point goes as far already.
 */
export function witnessFixes(
  subject: EngineSubject,
  { bound, named }: Pick<Excess, 'bound' | 'named'>,
  base: string,
): Fix[] {
  if (!bound || named) return [];
  const taken = subject.installation.configuration.operating_points ?? {};
  const added = addedWitness(subject.file, taken, bound, base);
  if (!added) return [];
  const { name, edit } = added;
  return [{ title: `Add this state as operating point \`${name}\``, safety: 'choice', edits: [edit] }];
}

/** The engine of the map set in which a value is as far beyond its limit. */
export function engineReached(
  { installation }: EngineSubject,
  { named, bound }: Pick<Excess, 'named' | 'bound'>,
): StateConfiguration {
  const set = installation.selectable.find(({ mapSet }) => mapSet === bound?.mapSet);
  return (named?.point ?? set ?? installation).configuration;
}

/** The place and the words of the finding for an excess. */
export interface ExcessText extends Pick<Found, 'severity'> {
  readonly at: Node;
  /** The value within a sentence, for an undecided limit. Without it, only a limit that is exceeded is reported. */
  readonly label?: string;
  /** The name of the operating point that the fix adds. */
  readonly name: string;
  /** What is wrong, with the state (`where`), without the full stop. */
  readonly message: string;
  /** What no state does more, see `boundClause`; without it the message does not say how far all states stay. */
  readonly verb?: string;
  /** Further sentences. */
  readonly after?: string | undefined;
  readonly related?: readonly Related[];
}

/**
 * The finding for an excess, if there is one. `textOf` gets the engine of the map set in which the limit is exceeded, and
 * must take place and numbers from that; undefined if there is nothing to report.
 */
export function* excessFinding(
  subject: EngineSubject,
  excess: Excess | undefined,
  textOf: (engine: StateConfiguration, excess: Excess) => ExcessText | undefined,
): Generator<Found> {
  const text = excess && textOf(engineReached(subject, excess), excess);
  if (!text) return;
  const { at, label, name, message, verb, after = '', severity, related = [] } = text;
  const fixes = witnessFixes(subject, excess, name);
  const { where } = excess;
  const clause = verb === undefined ? '' : boundClause(excess, verb);
  if (excess.verdict === 'open') {
    if (label !== undefined) yield openFinding(at, label, excess, fixes);
    return;
  }
  yield {
    at,
    ...(severity && { severity }),
    message: `${message.replace(where, () => where + clause)}.${after}`,
    related: [...excess.related, ...related],
    follows: placesBehindExcess(subject, excess),
    fixes,
  };
}

/** The places from which an excess follows, at its operating point or in its state of the envelope; only for an overlay. */
function placesBehindExcess(
  { file, derivation }: EngineSubject,
  { named, bound }: Pick<Excess, 'named' | 'bound'>,
): Node[] {
  if (!file.root.get('based_on')) return [];
  return placesBehind(named?.value ?? (bound && valueAtWitness(derivation, bound)));
}
