import type { Circuit, EngineConfiguration } from '../../generated/configuration.ts';
import { isOfAircraft, textsOf } from '../configuration/terminals.ts';
import type { TextValue } from '../configuration/values.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';

/** One circuit of the harness with its ends. */
export interface NamedCircuit {
  readonly name: string;
  readonly circuit: Circuit;
  /** `from` first, then each of `to`. */
  readonly ends: readonly TextValue[];
  readonly via: readonly TextValue[];
}

/** The circuits of the harness, in the order of the file. */
export const circuitsOf = ({ harness }: EngineConfiguration): readonly NamedCircuit[] =>
  harness?.circuits ? circuitsIn(harness.circuits) : [];

type Circuits = NonNullable<NonNullable<EngineConfiguration['harness']>['circuits']>;

const circuitsIn = memo((circuits: Circuits): readonly NamedCircuit[] =>
  Object.entries(circuits).map(([name, circuit]) => ({
    name,
    circuit,
    ends: [...textsOf(circuit.from), ...textsOf(circuit.to)],
    via: circuit.via?.items ?? [],
  })),
);

/**
 * Which ends are connected with each other. Circuits meet at splices, and at ends that they have in common, but not at the
 * terminals of a device: a fuse protects each conductor that leaves a battery.
 */
export class Nets {
  readonly #parents = new Map<string, string>();
  readonly #byEnd = new Map<string, readonly string[]>();

  constructor(circuits: readonly NamedCircuit[]) {
    for (const { name, ends } of circuits) {
      const [first, ...others] = ends.map(({ text }) => this.#rootOf(placeOf(text, name)));
      for (const other of others) this.#parents.set(this.#rootOf(other), this.#rootOf(first!));
    }
    for (const places of groupedBy(this.#parents.keys(), (place) => this.#rootOf(place)).values()) {
      const net = places.map((place) => place.replace(/ .*/, ''));
      for (const place of places) this.#byEnd.set(place, net);
    }
  }

  /** All ends that are connected with an end that is not of a device, itself included; the same list for each of them. */
  with(end: string): readonly string[] {
    return this.#byEnd.get(end) ?? [end];
  }

  /** All ends that a circuit connects with one of its own ends, which may be of a device; empty for a circuit that is not there. */
  on(end: string, circuit: string): readonly string[] {
    return this.#byEnd.get(placeOf(end, circuit)) ?? [];
  }

  #rootOf(end: string): string {
    let at = end;
    for (
      let above = this.#parents.get(at);
      above !== undefined && above !== at;
      above = this.#parents.get(at)
    )
      at = above;
    if (!this.#parents.has(at)) this.#parents.set(at, at);
    return at;
  }
}

/** What belongs to the aircraft counts as a place of its own for each circuit. */
const placeOf = (end: string, circuit: string): string => (isOfAircraft(end) ? `${end} ${circuit}` : end);

export const netsOf = memo((circuits: readonly NamedCircuit[]): Nets => new Nets(circuits));

/** Where the circuits name each end. */
export const placesOf = memo(
  (circuits: readonly NamedCircuit[]): ReadonlyMap<string, TextValue> =>
    new Map(circuits.flatMap(({ ends }) => ends.map((end) => [end.text, end]))),
);
