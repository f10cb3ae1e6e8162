import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { type NamedOutput, outputsThatDrive } from './loads.ts';
import { type Level, type Limit, limitsOf } from './protection.ts';
import type { NamedSensor } from './sensor-reading.ts';

/** The limits with the action `light`. */
export const limitsWithLight = (configuration: EngineConfiguration): Limit[] =>
  limitsOf(configuration).filter(hasLight);

const hasLight = ({ section }: Limit): boolean =>
  section.action?.items.some(({ text }) => text === 'light') ?? false;

/** A limit; with the map set that adds, changes or removes it if it is not one of the file without a map set. */
export interface SetLimit {
  readonly limit: Limit;
  readonly mapSet: string | undefined;
  /** Whether the map set removes the limit. */
  readonly isRemoved: boolean;
}

/**
 * The limits without a map set, then for each map set those that it adds, changes or removes. A limit that is removed has
 * neither a threshold nor an action.
 */
export function limitsOfSets({ configuration, engines }: Installation): SetLimit[] {
  const base = limitsOf(configuration);
  const known = new Set(base.map(({ section }) => section));
  const none = { section: {}, caution: undefined, warning: undefined };
  const others = engines.flatMap(({ mapSet, configuration: own }) => {
    const limits = limitsOf(own);
    if (limits === base) return [];
    const changed = limits.filter(({ section }) => !known.has(section));
    const removed = base.filter((before) => !limits.some((limit) => isSame(limit, before)));
    return [
      ...changed.map((limit) => ({ limit, mapSet, isRemoved: false })),
      ...removed.map((limit) => ({ limit: { ...limit, ...none }, mapSet, isRemoved: true })),
    ];
  });
  return [...base.map((limit) => ({ limit, mapSet: undefined, isRemoved: false })), ...others];
}

const isSame = (one: Limit, other: Limit): boolean =>
  one.name === other.name && one.direction === other.direction;

/** A warning light with everything that switches it on. */
export interface WarningLight extends NamedOutput {
  /** For a light that means caution or warning: the limits with the action `light` and that level. */
  readonly limits: readonly SetLimit[];
  /** For a light that means status: the sensors that the controller can notice as failed. */
  readonly sensors: readonly NamedSensor[];
}

export const isLevel = (meaning: string | undefined): meaning is Level =>
  meaning === 'caution' || meaning === 'warning';

/** The warning lights, in the order of the file. */
export function warningLights(installation: Installation): WarningLight[] {
  const { configuration } = installation;
  const limits = limitsOfSets(installation).filter(({ limit }) => hasLight(limit));
  const sensors = Object.entries(configuration.sensors ?? {}).filter(
    ([, { fault_outside: bounds }]) => bounds,
  );
  return outputsThatDrive(configuration, 'light').map(({ name, output }) => {
    const meaning = output.meaning?.text;
    return {
      ...{ name, output },
      limits: isLevel(meaning) ? limits.filter(({ limit }) => limit[meaning]) : [],
      sensors: meaning === 'status' ? sensors : [],
    };
  });
}
