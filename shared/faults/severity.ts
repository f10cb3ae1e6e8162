import type { EngineSubject } from '../checks/check.ts';
import { type FaultLimits, leanestUnderFault, richestUnderFault } from '../checks/fault-dangers.ts';
import { singleFaultBeyondLimit } from '../checks/protection-faults.ts';
import { passes } from '../checks/threshold.ts';
import { thresholdsOf } from '../checks/thresholds.ts';
import { usualMixture } from '../checks/usual-mixture.ts';
import { formatNumber, formatQuantity } from '../checks/words.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { injectorDuty } from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { DerivedValue } from '../derived/value.ts';
import { limitsOf } from '../limits/limits.ts';
import type { Effect, FaultyEngine, PointEffects } from './effects.ts';
import type { Lost } from './lost.ts';

/** The severities of a fault, the worst first, and what each means. */
export const SEVERITIES = {
  stops: 'The engine stops or cannot be kept running.',
  damages: 'The engine runs outside its own limits.',
  degrades: 'The engine runs inside its limits, with less power or without a function.',
  announces: 'The engine runs as before, and a light or the bus shows the fault.',
  hidden: 'The engine runs as before, and nothing shows the fault; only a test finds it.',
} as const;

export type FaultSeverity = keyof typeof SEVERITIES;

/** A severity with the reasons for it. */
export interface Judgement {
  readonly severity: FaultSeverity;
  readonly reasons: readonly string[];
}

export interface Consequences extends FaultyEngine {
  readonly lost: Lost;
  readonly toldBy: readonly string[];
  readonly at: readonly PointEffects[];
}

/** The severity by the first of these rules that applies. */
export function severityOf(subject: EngineSubject, consequences: Consequences): Judgement {
  const stops = reasonsToStop(subject, consequences);
  if (stops.length > 0) return { severity: 'stops', reasons: stops };
  const damages = reasonsForDamage(subject, consequences);
  if (damages.length > 0) return { severity: 'damages', reasons: damages };
  const degrades = reasonsToDegrade(subject, consequences);
  if (degrades.length > 0) return { severity: 'degrades', reasons: degrades };
  return { severity: consequences.toldBy.length > 0 ? 'announces' : 'hidden', reasons: [] };
}

const limitsFor = (subject: EngineSubject) => thresholdsOf(singleFaultBeyondLimit, subject) as FaultLimits;

const isLambda = ({ id }: Effect): boolean => id.startsWith('lambda');

function reasonsToStop(subject: EngineSubject, { stops, cylinders, at }: Consequences): string[] {
  if (stops !== undefined) return [`No cylinder fires: ${stops}.`];
  const dead = cylinders.filter(({ isWithoutFuel, isWithoutSpark }) => isWithoutFuel || isWithoutSpark);
  if (dead.length > 0 && dead.length === subject.installation.configuration.engine?.cylinders?.canonical)
    return ['No cylinder fires.'];
  const limits = limitsFor(subject);
  const { richest: usual } = usualMixture(subject);
  const isRich = (lambda: number, { sound, pressure }: SoundMixture) =>
    passes(richestUnderFault(limits, usual, { soundLambda: sound, pressure }), lambda);
  const isLean = (lambda: number) => passes(lambda, limits.leanest_running);
  const reasons = (word: string, isBeyond: (lambda: number, at: SoundMixture) => boolean) =>
    at.flatMap(({ point, actual, effects }) =>
      effects
        .filter(({ id, normal, value }) => {
          if (id !== 'lambda' || !normal) return false;
          const state = { sound: normal.canonical, pressure: actual.number(manifoldPressure) ?? 0 };
          return isBeyond(value.canonical, state) && !isBeyond(normal.canonical, state);
        })
        .map(({ value }) => `${valueAt(value, point.name)}, so ${word} that the engine may stop.`),
    );
  const unknown = at
    .filter(({ isMixtureUnknown }) => isMixtureUnknown)
    .map(
      ({ point }) =>
        `The controller computes fuel at \`${point.name}\` from an impossible reading; the engine may stop.`,
    );
  return [reasons('rich', isRich), reasons('lean', isLean), unknown].flatMap((list) => list.slice(0, 1));
}

/** The mixture (lambda) without the fault, and the manifold pressure (Pa, absolute). */
interface SoundMixture {
  readonly sound: number;
  readonly pressure: number;
}

const valueAt = ({ label, canonical, show }: DerivedValue, point: string): string =>
  `${label} is ${formatQuantity(canonical, show)} at \`${point}\``;

/** How far a value is beyond a limit that it keeps without the fault. */
interface Excess {
  readonly by: number;
  readonly text: string;
}

function reasonsForDamage(subject: EngineSubject, { cylinders, at }: Consequences): string[] {
  const excesses = at.flatMap((one) => excessesAt(subject, one));
  const worst = new Map<string, Excess>();
  for (const { kind, ...excess } of excesses) {
    const known = worst.get(kind);
    if (!known || excess.by > known.by) worst.set(kind, excess);
  }
  const flooded = cylinders.filter(({ isFlooded }) => isFlooded);
  return [
    ...[...worst.values()].map(({ text }) => text),
    ...flooded.map(({ cylinder }) => `An injector of cylinder ${cylinder} never closes.`),
  ];
}

function excessesAt(
  subject: EngineSubject,
  { point, actual, assumed, effects }: PointEffects,
): (Excess & { readonly kind: string })[] {
  const limits = limitsFor(subject);
  const pressure = actual.number(manifoldPressure) ?? 0;
  const leanest = leanestUnderFault(limits, usualMixture(subject).leanest, pressure);
  const [right, used] = [actual, assumed].map((state) => state.number(ignitionAdvance) ?? Number.NaN);
  const early = used! - right!;
  const spark = {
    kind: ignitionAdvance.id,
    by: early,
    text: `The spark is ${formatQuantity(early, 'deg', 2)} too early at \`${point.name}\`.`,
  };
  const ofValues = effects.flatMap((effect) => {
    const { id, normal, value } = effect;
    const number = value.canonical;
    const found = (limit: number, text: string) => [{ kind: id, by: (number - limit) / limit, text }];
    const above = `${valueAt(value, point.name)}, above the limit of`;
    if (isLambda(effect)) {
      const isSoundLean = normal && passes(normal.canonical, leanest);
      return passes(number, leanest) && !isSoundLean
        ? found(leanest, `${above} ${formatNumber(leanest)}.`)
        : [];
    }
    if (id !== injectorDuty.id && id !== manifoldPressure.id) return [];
    return limitsOf(id).flatMap((limit) => {
      const held = { subject, configuration: point.configuration, node: point.node, point };
      const most = limit.side === 'most' ? limit.find(held)?.value : undefined;
      if (most === undefined || !passes(number, most) || (normal && passes(normal.canonical, most)))
        return [];
      return found(most, `${above} ${formatQuantity(most, value.show)}.`);
    });
  });
  return passes(early, limits.advance) ? [...ofValues, spark] : ofValues;
}

function reasonsToDegrade(subject: EngineSubject, { fault, cylinders, lost, at }: Consequences): string[] {
  const { configuration } = subject.installation;
  const { loss, way } = fault;
  const dead = cylinders.filter(({ isWithoutFuel, isWithoutSpark }) => isWithoutFuel || isWithoutSpark);
  const unburnt = dead.filter(({ isWithoutFuel }) => !isWithoutFuel);
  const weak = cylinders.filter(({ hasFewerSparks }) => hasFewerSparks);
  const isLight = (name: string) => configuration.outputs?.[name]?.drives?.text === 'light';
  const numbers = (list: typeof cylinders) => list.map(({ cylinder }) => cylinder).join(', ');
  const others = [...loss.outputs].filter(
    (name) =>
      !isLight(name) && !['injector', 'ignition'].includes(configuration.outputs?.[name]?.drives?.text ?? ''),
  );
  const isChanged = at.some(({ effects }) => effects.length > 0);
  const isCut = at.some(({ actual: { conditions, configuration: own } }) => {
    const cut = own.boost?.overboost_cut;
    return cut !== undefined && conditions.manifoldPressure === cut;
  });
  const isPhaseLost = [...loss.sensors].some((name) => configuration.sensors?.[name]?.kind?.text === 'phase');
  return [
    ...(dead.length > 0 ? [`No combustion in cylinder ${numbers(dead)}.`] : []),
    ...(unburnt.length > 0 ? [`Its fuel reaches the exhaust unburnt.`] : []),
    ...(weak.length > 0 ? [`Fewer sparks in cylinder ${numbers(weak)}.`] : []),
    ...(way ? ['The controller no longer measures a quantity from which it computes fuel and spark.'] : []),
    ...(isPhaseLost ? ['A running engine keeps its phase, but it may not start again.'] : []),
    ...lost.loops.map((path) => `\`${path}\` no longer works.`),
    ...others.map((name) => `\`${name}\` no longer works.`),
    ...(loss.inputs.size > 0 && isChanged
      ? ['The active map set is not the one that the switch selects.']
      : []),
    ...(isCut ? ['Boost rises to the overboost cut.'] : []),
  ];
}
