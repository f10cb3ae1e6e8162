import type { TableValue } from '../configuration/values.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import type { PointValue } from '../derived/operating-point.ts';
import type { Side } from '../proof/bound.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { type Excess, type ExcessText, excessFinding, excessOf } from './beyond.ts';
import type { EngineSubject, Found } from './check.ts';
import { formatStated } from './words.ts';

/** A limit of what the dwell curve does to a coil. */
export interface CoilQuestion {
  readonly value: PointValue;
  readonly side: Side;
  limitOf(configuration: StateConfiguration): number | undefined;
  /** The value in a sentence. */
  readonly label: string;
  /** The name of an operating point for its state. */
  readonly name: string;
  /** What is wrong, without its end. */
  found(excess: Excess, engine: StateConfiguration): Pick<ExcessText, 'message' | 'severity'>;
}

/**
 * The state of the envelope with the coil furthest beyond a limit, at the dwell curve. Curves already reported for one of their
 * own places are left out: their other voltages have the same cause.
 */
export function* coilBeyond(
  subject: EngineSubject,
  proof: Proof,
  { value, side, limitOf, label, name, found }: CoilQuestion,
  reported: ReadonlySet<unknown>,
): Generator<Found | Pause> {
  const excess = yield* excessOf(subject, proof, {
    ...{ value, side },
    limitOf: (configuration) =>
      reported.has(configuration.ignition?.dwell) ? undefined : limitOf(configuration),
  });
  yield* excessFinding(subject, excess, (engine, beyond) => {
    const curve = engine.ignition?.dwell;
    return (
      curve && {
        ...{ at: curve.node, label, name, verb: 'gives', after: heldClause(curve, beyond) },
        ...found(beyond, engine),
      }
    );
  });
}

/** ` Above 12 V the curve holds its last value.`; empty for a voltage on the curve. */
function heldClause({ x }: TableValue, { named, bound }: Excess): string {
  const voltage = named?.point.conditions.batteryVoltage.canonical ?? bound?.witness.battery_voltage;
  const [first, last] = [x?.breakpoints[0], x?.breakpoints.at(-1)];
  if (voltage === undefined || first === undefined || last === undefined) return '';
  if (voltage > last) return ` Above ${formatStated(last, 'V')} the curve holds its last value.`;
  return voltage < first ? ` Below ${formatStated(first, 'V')} the curve holds its first value.` : '';
}
