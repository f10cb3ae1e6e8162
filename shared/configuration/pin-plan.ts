import type {
  ControllerConfiguration,
  EngineConfiguration,
  HarnessConnector,
  Pin,
} from '../../generated/configuration.ts';
import { groupedBy } from '../grouped-by.ts';
import { type Channel, channels, endNumberStart, type PinUse } from './pins.ts';

/** One pin of the controller with everything connected to it. */
export interface PlannedPin {
  readonly name: string;
  /** Its number in the connector; undefined if its name contains none. */
  readonly position: number | undefined;
  /** Its description in the controller file; undefined if there is none. */
  readonly pin: Pin | undefined;
  readonly uses: readonly PinUse[];
}

export interface PlannedConnector {
  readonly name: string;
  /** The number of pins; undefined if the controller file does not state it. */
  readonly positions: number | undefined;
  /** Sorted by number: every pin that is described or used and, if the number of positions is stated, all others. */
  readonly pins: readonly PlannedPin[];
}

export interface PinPlan {
  readonly connectors: readonly PlannedConnector[];
  /** What needs a pin but names none. */
  readonly open: readonly Channel[];
}

/** The most positions that a connector may have in the format. A typing error must not result in a plan too large to draw. */
export const MOST_POSITIONS = 500;

/** Every pin of the controller with what is connected to it, and the pins that are named but do not exist. */
export function pinPlan(
  configuration: EngineConfiguration,
  controller: ControllerConfiguration | undefined,
): PinPlan {
  const all = channels(configuration);
  const uses = all.filter((channel): channel is PinUse => channel.pin !== undefined);
  const described = controller?.pins ?? {};
  const stated = Object.entries(controller?.connectors ?? {}).map(
    ([name, { positions }]) => [name, countOf(positions?.canonical)] as const,
  );
  const contacts = stated.flatMap(([name, count = 0]) =>
    Array.from({ length: count }, (_, i) => `${name}${i + 1}`),
  );
  const names = [
    ...new Set([...contacts, ...Object.keys(described), ...uses.map(({ pin }) => pin.text)]),
  ].sort(byPin);
  const usesOf = groupedBy(uses, ({ pin }) => pin.text);
  const connectors = new Map<string, PlannedPin[]>(stated.map(([name]) => [name, []]));
  for (const name of names) {
    const { connector, position } = contactOf(name, [...connectors.keys()]);
    const pins = connectors.get(connector) ?? [];
    pins.push({
      name,
      position,
      pin: described[name],
      uses: usesOf.get(name) ?? [],
    });
    connectors.set(connector, pins);
  }
  const positions = new Map(stated);
  return {
    connectors: [...connectors].map(([name, pins]) => ({ name, positions: positions.get(name), pins })),
    open: all.filter(({ pin }) => pin === undefined),
  };
}

/** A pin name split into its connector, if the controller has it, and its number. */
function contactOf(
  name: string,
  connectors: readonly string[],
): { connector: string; position: number | undefined } {
  const known = connectors.find((one) => name.startsWith(one) && /^\d+$/.test(name.slice(one.length)));
  const connector = known ?? name.slice(0, endNumberStart(name));
  const number = name.slice(connector.length);
  return { connector, position: number === '' ? undefined : Number(number) };
}

/** The number of pins of a connector; undefined if it is unknown or impossible. */
export function countOf(positions: number | undefined): number | undefined {
  return positions !== undefined && positions >= 1 && positions <= MOST_POSITIONS
    ? Math.floor(positions)
    : undefined;
}

/**
 * The positions of a connector of the harness, in order: all that it has, if it says how many, and every other that its wires or
 * circuits name. `places` are those that circuits name, such as `bulkhead.12`.
 */
export function harnessPositions(
  name: string,
  { positions, wires }: HarnessConnector,
  places: Iterable<string>,
): readonly string[] {
  const contacts = Array.from({ length: countOf(positions?.canonical) ?? 0 }, (_, i) => String(i + 1));
  const named = [...places].flatMap((place) => {
    const dot = place.lastIndexOf('.');
    return place.slice(0, Math.max(0, dot)) === name ? place.slice(dot + 1) : [];
  });
  return [...new Set([...contacts, ...Object.keys(wires ?? {}), ...named])].sort(byPin);
}

/** `A2` before `A10`. */
export const byPin = (a: string, b: string): number => a.localeCompare(b, 'en', { numeric: true });
