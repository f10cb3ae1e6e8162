import type { EngineSubject } from '../checks/check.ts';
import { type FaultLimits, leanestUnderFault, richestUnderFault } from '../checks/fault-dangers.ts';
import { singleFaultBeyondLimit } from '../checks/protection-faults.ts';
import { passes } from '../checks/threshold.ts';
import { thresholdsOf } from '../checks/thresholds.ts';
import { usualMixture } from '../checks/usual-mixture.ts';
import { formatNumber, formatQuantity } from '../checks/words.ts';
import { availableManifoldPressure, boostPressure, manifoldPressure } from '../derived/charge-air.ts';
import { injectorDuty } from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { gearboxTorqueWarm } from '../derived/propeller.ts';
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

const deadOf = (cylinders: Consequences['cylinders']) =>
  cylinders.filter(({ isWithoutFuel, isWithoutSpark }) => isWithoutFuel || isWithoutSpark);

const isLambda = ({ id }: Effect): boolean => id.startsWith('lambda');

function reasonsToStop(subject: EngineSubject, { stops, cylinders, at }: Consequences): string[] {
  if (stops !== undefined) return [`No cylinder fires: ${stops}.`];
  const dead = deadOf(cylinders);
  if (dead.length > 0 && dead.length === subject.installation.configuration.engine?.cylinders?.canonical)
    return ['No cylinder fires.'];
  const limits = limitsFor(subject);
  const { richest: usual } = usualMixture(subject);
  const isRich = (lambda: number, { sound, pressure }: SoundMixture) =>
    passes(richestUnderFault(limits, usual, { soundLambda: sound, pressure }), lambda);
  const isLean = (lambda: number) => passes(lambda, limits.leanest_running);
  const reasons = (word: string, isBeyond: (lambda: number, at: SoundMixture) => boolean) =>
    at.flatMap(({ point, effects }) =>
      effects
        .filter(({ id, normal, value, pressure }) => {
          if (id !== 'lambda' || !normal) return false;
          const sound = normal.canonical;
          const without = { sound, pressure: point.number(manifoldPressure) };
          return isBeyond(value.canonical, { sound, pressure }) && !isBeyond(sound, without);
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

/** The mixture (lambda) without the fault, and the manifold pressure (Pa, absolute) if it is known. */
interface SoundMixture {
  readonly sound: number;
  readonly pressure: number | undefined;
}

const valueAt = ({ label, canonical, show }: DerivedValue, point: string, number = canonical): string =>
  `${label} is ${formatQuantity(number, show)} at \`${point}\``;

/** How far a value is beyond a limit that it keeps without the fault. */
interface Excess {
  readonly by: number;
  readonly text: string;
}

function reasonsForDamage(subject: EngineSubject, { cylinders, at }: Consequences): string[] {
  const count = subject.installation.configuration.engine?.cylinders?.canonical;
  const firing = count === undefined ? 1 : 1 - deadOf(cylinders).length / count;
  const excesses = at.flatMap((one) => excessesAt(subject, one, firing));
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

/** The values of the engine itself that a fault may drive beyond their limits. */
const OF_ENGINE = [manifoldPressure, boostPressure, gearboxTorqueWarm] as const;

function excessesAt(
  subject: EngineSubject,
  { point, actual, assumed, limitedBy, effects }: PointEffects,
  firing: number,
): (Excess & { readonly kind: string })[] {
  const limits = limitsFor(subject);
  const usual = usualMixture(subject).leanest;
  const leanestAt = (pressure: number | undefined) => leanestUnderFault(limits, usual, pressure);
  const isSoundLean = (lambda: number) => passes(lambda, leanestAt(point.number(manifoldPressure)));
  const above = (value: DerivedValue, limit: number, limitText: string, number = value.canonical) => ({
    kind: value.id,
    by: (number - limit) / limit,
    text: `${valueAt(value, point.name, number)}, above the limit of ${limitText}.`,
  });
  const ofMixtures = effects.filter(isLambda).flatMap(({ normal, value, pressure }) => {
    const leanest = leanestAt(pressure);
    if (!passes(value.canonical, leanest) || (normal && isSoundLean(normal.canonical))) return [];
    return above(value, leanest, formatNumber(leanest));
  });
  const held = { subject, configuration: point.configuration, node: point.node, point };
  const ofValues = [
    ...OF_ENGINE.map((definition) => [point.get(definition), actual.get(definition)] as const),
    [point.get(injectorDuty), assumed.get(injectorDuty)] as const,
  ].flatMap(([normal, value]) =>
    (value ? limitsOf(value.id) : []).flatMap((limit) => {
      const most = limit.side === 'most' ? limit.find(held)?.value : undefined;
      // Cylinders that do not fire give no torque.
      const number = value!.canonical * (value!.id === gearboxTorqueWarm.id ? firing : 1);
      if (most === undefined || !passes(number, most)) return [];
      if (normal && passes(normal.canonical, most)) return [];
      return above(value!, most, formatQuantity(most, value!.show), number);
    }),
  );
  const early =
    (assumed.number(ignitionAdvance) ?? Number.NaN) - (actual.number(ignitionAdvance) ?? Number.NaN);
  const spark = {
    kind: ignitionAdvance.id,
    by: early,
    text: `The spark is ${formatQuantity(early, 'deg', 2)} too early at \`${point.name}\`.`,
  };
  return [
    ...ofMixtures,
    ...ofValues,
    ...(limitedBy === 'compressor' && !actual.configuration.boost?.overboost_cut ? [unlimited(actual)] : []),
    ...(passes(early, limits.advance) ? [spark] : []),
  ];
}

/** Boost that runs away on an engine without an overboost cut: there is no limit to compare it with. */
function unlimited(actual: OperatingPoint): Excess & { readonly kind: string } {
  const pressure = actual.get(availableManifoldPressure) && actual.get(manifoldPressure);
  const reached = pressure
    ? `manifold pressure reaches ${formatQuantity(pressure.canonical, pressure.show)} at \`${actual.name}\``
    : 'the file does not say what the compressor can give';
  return {
    kind: 'unlimited boost',
    by: pressure?.canonical ?? Number.POSITIVE_INFINITY,
    text: `Nothing limits the boost: ${reached}.`,
  };
}

function reasonsToDegrade(subject: EngineSubject, { fault, cylinders, lost, at }: Consequences): string[] {
  const { configuration } = subject.installation;
  const { loss, way } = fault;
  const dead = deadOf(cylinders);
  const unburnt = dead.filter(({ isWithoutFuel }) => !isWithoutFuel);
  const weak = cylinders.filter(({ hasFewerSparks }) => hasFewerSparks);
  const isLight = (name: string) => configuration.outputs?.[name]?.drives?.text === 'light';
  const numbers = (list: typeof cylinders) => list.map(({ cylinder }) => cylinder).join(', ');
  const others = [...loss.outputs].filter(
    (name) =>
      !isLight(name) && !['injector', 'ignition'].includes(configuration.outputs?.[name]?.drives?.text ?? ''),
  );
  const isChanged = at.some(({ effects }) => effects.length > 0);
  const isCut = at.some(({ limitedBy }) => limitedBy === 'cut');
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
