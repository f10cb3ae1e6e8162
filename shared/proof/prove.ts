import type { EngineSubject } from '../checks/check.ts';
import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { availableManifoldPressure, manifoldPressure } from '../derived/charge-air.ts';
import { faultedPoint, type SensorFault, sensorFaults } from '../derived/faults.ts';
import { injectorDuty, injectorDutyAtFaultPressure, injectorPulseWidth } from '../derived/fuel.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import { pointValues } from '../derived/registry.ts';
import type { TracedPoint } from '../derived/trace.ts';
import type { DerivedValue, Result } from '../derived/value.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { deliveredLambda } from './delivered-lambda.ts';
import { type Envelope, envelopeOf, type Variable } from './envelope.ts';
import { type BoundLimit, limitIn, type Side } from './limits.ts';
import { highestOf } from './search.ts';
import { StateSpace } from './state-space.ts';

/** `holds`: no state exceeds the limit; `broken`: some state does; `open`: the search did not decide. */
export type Verdict = 'holds' | 'broken' | 'open';

/** The highest or lowest value over all states of the envelope, in canonical units. */
export interface ProvedBound {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly show: string;
  readonly side: Side;
  readonly mapSet: string | undefined;
  /** `fault_pressure`, or `sensors.NAME`; undefined without a fault. */
  readonly fault: string | undefined;
  /** No state exceeds this. */
  readonly bound: number;
  /** The value in the state `witness`. */
  readonly reached: number;
  readonly witness: Readonly<Record<Variable, number>>;
  /** Whether the bound and the reached value are within the requested tolerance. */
  readonly isClosed: boolean;
  readonly limit: BoundLimit | undefined;
  readonly verdict: Verdict | undefined;
}

export interface ProofOptions {
  /** The tolerance between bound and reached value, relative to the bound. */
  readonly within: number;
  /** The maximum number of boxes to examine for one bound. */
  readonly mostBoxes: number;
  /** Whether the time is over. The remaining bounds are then those of the first enclosure. */
  readonly isOver?: () => boolean;
}

/** The default options. */
export const USUAL: ProofOptions = { within: 0.003, mostBoxes: 2500 };

/**
 * Bounds of every value of an operating point, for each selectable map set, without a fault and with each single fault.
 * They are computed one by one, so the caller can stop or pause.
 */
export function* proveEngine(subject: EngineSubject, options: ProofOptions = USUAL): Generator<ProvedBound> {
  const { derivation, installation } = subject;
  for (const engine of installation.selectable) {
    const envelope = envelopeOf(engine, derivation.points);
    const place = engine.configuration.engine;
    if (!envelope || !place) continue;
    const job = { subject, engine, envelope, options };
    const space = StateSpace.of(engine, envelope, nodeOf(place));
    if (!space) continue;
    yield* bounded(job, space, valuesOf(space.point), undefined);
    yield* bounded(job, space, atFaultPressure(space.point), 'fault_pressure');
    for (const [name, faults] of faultsByName(sensorFaults(installation)))
      yield* boundedUnder(job, name, faults);
  }
}

interface Job {
  readonly subject: EngineSubject;
  readonly engine: Engine;
  readonly envelope: Envelope;
  readonly options: ProofOptions;
}

/** A value to be bounded. */
interface Target {
  readonly id: string;
  readonly label: string;
  readonly value: DerivedValue | Result;
}

const named = (
  { id, label }: { id: string; label: string },
  value: DerivedValue | Result | undefined,
): Target[] => (value ? [{ id, label, value }] : []);

const valuesOf = (point: TracedPoint): Target[] =>
  pointValues
    .filter((definition) => definition !== injectorDutyAtFaultPressure)
    .flatMap((definition) => named(definition, point.get(definition)));

const atFaultPressure = (point: TracedPoint): Target[] => {
  const duty = point.get(injectorDutyAtFaultPressure);
  // The pulse width is the first operand of the duty.
  const pulse = duty?.inputs[0]?.between;
  return [...named(injectorDuty, duty), ...named(injectorPulseWidth, pulse)];
};

function* bounded(job: Job, space: StateSpace, targets: readonly Target[], fault: string | undefined) {
  for (const target of targets)
    for (const side of ['high', 'low'] as const) {
      const found = boundOf(job, space, target, side, fault);
      if (found) yield found;
    }
}

/** The bounds with a failed sensor, over all the ways in which it can fail. */
function* boundedUnder(job: Job, name: string, faults: readonly SensorFault[]) {
  const found = new Map<string, ProvedBound>();
  for (const fault of faults) {
    const space = spaceUnder(job, fault);
    if (!space) continue;
    const { actual, assumed } = faultedPoint(space.point, fault);
    const targets = [
      ...named(
        { id: 'lambda', label: 'Delivered lambda' },
        deliveredLambda({ actual, assumed }, space.isSame),
      ),
      ...[injectorDuty, injectorPulseWidth, ignitionAdvance].flatMap((one) => named(one, assumed.get(one))),
    ];
    // Values that the fault does not affect are bounded without it.
    const changed = targets.filter(({ value }) => space.follows(value, fault.value));
    if (runsAway(job.engine, fault)) changed.push(...named(manifoldPressure, actual.get(manifoldPressure)));
    for (const one of bounded(job, space, changed, `sensors.${name}`)) {
      const key = `${one.id} ${one.side}`;
      const other = found.get(key);
      const isFurther = !other || (one.side === 'high' ? one.bound > other.bound : one.bound < other.bound);
      if (isFurther) found.set(key, one);
    }
  }
  yield* found.values();
}

/**
 * Whether boost runs away: the pressure sensor reads less than a target, so the boost loop keeps closing the wastegate,
 * and only the compressor limits manifold pressure.
 */
function runsAway({ configuration }: Engine, { sensor, value }: SensorFault): boolean {
  const quantity = measuredQuantity(sensor.measures?.text ?? '')?.entry.name;
  const target = configuration.boost?.target;
  if (quantity !== 'manifold_pressure' || !target?.cells) return false;
  const assumed = target.reference === 'gauge' ? value.canonical - SEA_LEVEL : value.canonical;
  return target.cells.some((cell) => cell > assumed);
}

function spaceUnder({ engine, envelope }: Job, fault: SensorFault): StateSpace | undefined {
  const ceiling = (point: TracedPoint) => point.get(availableManifoldPressure)?.result;
  const node = nodeOf(engine.configuration.engine!);
  return StateSpace.of(engine, envelope, node, runsAway(engine, fault) ? ceiling : undefined);
}

function faultsByName(faults: readonly SensorFault[]): Map<string, SensorFault[]> {
  const byName = new Map<string, SensorFault[]>();
  for (const fault of faults) byName.set(fault.name, [...(byName.get(fault.name) ?? []), fault]);
  return byName;
}

function boundOf(
  { subject, engine, options }: Job,
  space: StateSpace,
  { id, label, value }: Target,
  side: Side,
  fault: string | undefined,
): ProvedBound | undefined {
  const sign = side === 'high' ? 1 : -1;
  const isNear = (bound: number, reached: number) => bound - reached <= options.within * Math.abs(bound);
  const mostBoxes = options.isOver?.() ? 1 : options.mostBoxes;
  const found = highestOf(space.problemOf(value, side), space.whole, isNear, mostBoxes);
  if (!found || found.witness.length === 0) return undefined;
  const { result } = ('id' in value ? value.result : value).formula;
  const bounds = { bound: sign * found.bound, reached: sign * found.reached };
  const limit = limitIn(id, side, { subject, configuration: engine.configuration, fault });
  return {
    ...{ id, label, side, fault, limit, ...bounds },
    unit: result.unit,
    show: 'id' in value ? value.show : (result.show ?? result.unit),
    mapSet: engine.mapSet,
    witness: space.stateAt(found.witness),
    isClosed: found.isClosed,
    verdict: limit && verdictOf(bounds, limit.value, sign),
  };
}

/** Rounding alone does not exceed a limit that a value just reaches. */
const ROUNDING = 1e-9;

function verdictOf(
  { bound, reached }: Record<'bound' | 'reached', number>,
  limit: number,
  sign: number,
): Verdict {
  const slack = ROUNDING * Math.abs(limit);
  if (sign * (reached - limit) > slack) return 'broken';
  return sign * (bound - limit) <= slack ? 'holds' : 'open';
}

export interface Proof {
  /** The envelope of the file; undefined if it is unknown. */
  readonly envelope: Envelope | undefined;
  readonly bounds: readonly ProvedBound[];
}

/** All bounds of an engine at once. */
export function proveAll(subject: EngineSubject, options: ProofOptions = USUAL): Proof {
  const [engine] = subject.installation.engines;
  return {
    envelope: engine && envelopeOf(engine, subject.derivation.points),
    bounds: [...proveEngine(subject, options)],
  };
}
