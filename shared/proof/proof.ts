import type { Derivation } from '../derived/derivation.ts';
import { type SensorFault, sensorFaults } from '../derived/faults.ts';
import { type Bound, furtherOf, type Side } from './bound.ts';
import { type Envelope, envelopeOf } from './envelope.ts';
import { type ProofOptions, Situation } from './situation.ts';

/** The default options. */
export const USUAL: ProofOptions = { within: 0.003, mostBoxes: 2500 };

/** For faces that cannot take long: a tenth of the time. Nearly every bound is as close. */
export const BRIEF: ProofOptions = { ...USUAL, mostBoxes: 250 };

/**
 * Bounds of every value of an operating point, for each selectable map set, without a fault and with each single fault.
 * Each is computed once, when it is first asked for.
 */
export class Proof {
  readonly situations: readonly Situation[];
  /** The envelope of the file without a map set; undefined if it is unknown. */
  readonly envelope: Envelope | undefined;

  constructor({ installation, points }: Derivation, options: ProofOptions = USUAL) {
    const faults = byName(sensorFaults(installation));
    const [first] = installation.engines;
    this.envelope = first && envelopeOf(first, points);
    this.situations = installation.selectable.flatMap((engine) => {
      const envelope = envelopeOf(engine, points);
      return envelope ? Situation.of(engine, envelope, faults, options) : [];
    });
  }

  /** All bounds, one by one, so that the caller can stop or pause. */
  *bounds(): Generator<Bound> {
    for (const situation of this.situations)
      for (const id of situation.ids)
        for (const side of ['high', 'low'] as const) {
          const found = situation.bound(id, side);
          if (found) yield found;
        }
  }

  /** The bound of a value over all map sets, without a fault or with one. */
  furthest(id: string, side: Side, fault?: string): Bound | undefined {
    const found = this.situations
      .filter((situation) => situation.fault === fault)
      .flatMap((situation) => situation.bound(id, side) ?? []);
    return found.length > 0 ? found.reduce(furtherOf) : undefined;
  }
}

function byName(faults: readonly SensorFault[]): ReadonlyMap<string, readonly SensorFault[]> {
  const ways = new Map<string, SensorFault[]>();
  for (const fault of faults) ways.set(fault.name, [...(ways.get(fault.name) ?? []), fault]);
  return ways;
}
