import type { EngineSubject } from '../checks/check.ts';
import type { Installation } from '../configuration/installation.ts';
import type { SectionName } from '../configuration/sections.ts';
import type { FaultKind, SingleFault } from '../derived/loss.ts';
import { singleFaults } from '../derived/single-faults.ts';
import { type JudgedBound, READ_BY_BOUNDS } from '../limits/verdict.ts';
import { memo } from '../memo.ts';
import type { Node } from '../source/tree.ts';
import { type Changeover, changeoverWith } from './changeover.ts';
import { type Effect, effectsAt, faultyEngine } from './effects.ts';
import { lostWith } from './lost.ts';
import { nodeOfFault } from './place.ts';
import { type Consequences, type FaultSeverity, type Judgement, severityOf } from './severity.ts';
import { isWastegateLost } from './state.ts';
import { isNoticed, toldBy } from './told.ts';

/** One single fault of the installation with everything that follows from it. */
export interface FaultRow {
  /** The key path of what fails. */
  readonly of: string;
  /** Where it is written. */
  readonly node: Node | undefined;
  readonly fault: FaultKind;
  /** Whether the controller can detect the fault. */
  readonly noticed: boolean;
  readonly effects: readonly PlacedEffect[];
  /** The key paths of everything that no longer works: sensors, inputs, outputs, limits, loops and bus signals. */
  readonly lost: readonly string[];
  /** Whether everything that the controller does is lost. */
  readonly losesAll: boolean;
  /** The key paths of the lights that come on, of the status signals that change, and of the signals that stop. */
  readonly toldBy: readonly string[];
  readonly severity: FaultSeverity;
  readonly reasons: readonly string[];
  /** The sensor from which fuel and spark are computed, if the fault is that it alone fails. */
  readonly sensor: string | undefined;
  /** The bounds with that sensor failed over all states of the envelope, if they were searched. */
  readonly bounds?: readonly JudgedBound[];
  /** What the file itself states about the fault, under `faults`. */
  readonly stated: string | undefined;
}

/** A value that a fault changes, at the operating point at `at`. */
export interface PlacedEffect extends Effect {
  readonly at: string;
  readonly point: string;
}

/** The sections that the fault table depends on. */
export const READ_BY_FAULTS: ReadonlySet<SectionName> = new Set([
  ...READ_BY_BOUNDS,
  ...(['inputs', 'outputs', 'bus', 'devices', 'faults'] as const),
]);

/** The fault table of an installation: one row for each single fault, in the order of the file. */
export const faultTable = memo((subject: EngineSubject): readonly FaultRow[] => {
  const { installation } = subject;
  return keyedFaults(installation).map(({ fault, key }) => ({
    ...{ of: fault.of, node: nodeOfFault(installation, fault.of), fault: fault.fault },
    ...sharedConsequences(subject, key),
    sensor: fault.way?.name,
    stated: installation.configuration.faults?.[fault.of]?.effect?.text,
  }));
});

/** Computes the fault table with a pause after each loss, for a server that has other questions to answer. */
export function* faultTableInSteps(subject: EngineSubject): Generator<undefined, readonly FaultRow[]> {
  for (const key of faultsAlike(subject.installation).keys()) {
    sharedConsequences(subject, key);
    yield;
  }
  return faultTable(subject);
}

const keyedFaults = memo((installation: Installation) =>
  singleFaults(installation).map((fault) => ({ fault, key: lossKey(installation, fault) })),
);

/** One fault of each loss: wires, fuses and connectors that take the same away have the same consequences. */
const faultsAlike = memo(
  (installation: Installation): ReadonlyMap<string, SingleFault> =>
    new Map(
      keyedFaults(installation)
        .map(({ fault, key }) => [key, fault] as const)
        .reverse(),
    ),
);

const sharedConsequences = memo((subject: EngineSubject, key: string) =>
  consequencesOf(subject, faultsAlike(subject.installation).get(key)!),
);

/** What follows from the loss alone, whatever causes it. */
type FaultConsequences = Pick<
  FaultRow,
  'noticed' | 'effects' | 'lost' | 'losesAll' | 'toldBy' | 'severity' | 'reasons'
>;

/** What follows from a fault, computed for it alone. */
export function consequencesOf(subject: EngineSubject, fault: SingleFault): FaultConsequences {
  const { installation, derivation } = subject;
  const first = faultyEngine(installation, fault);
  const changeover = changeoverWith(subject, first);
  const engine = changeover?.engine ?? first;
  const { loss } = engine.fault;
  const noticed = isNoticed(installation, fault);
  const at = changeover?.at ?? derivation.points.map((point) => effectsAt(engine, point));
  const lost = lostWith(engine.installation.configuration, loss);
  // The standby controller sends nothing, and its lights do not tell why it runs.
  const told = changeover ? [...lost.signals] : toldBy(installation, { fault, noticed, lost }, at);
  return {
    noticed,
    effects: at.flatMap(({ point, effects }) =>
      effects.map((effect) => ({ ...effect, at: effect.value.at, point: point.name })),
    ),
    lost: [
      ...lost.parts,
      ...lost.limits,
      ...lost.loops,
      ...lost.signals,
      ...(loss.standby ? ['standby'] : []),
    ],
    losesAll: loss.controller,
    toldBy: told,
    ...judged(subject, { ...engine, lost, toldBy: told, at }, changeover),
  };
}

/** Everything that these follow from: only a switch and a wastegate also depend on how the wire fails. */
function lossKey(installation: Installation, { fault, loss, way }: SingleFault): string {
  const { sensors, inputs, outputs, held, bus, controller, standby } = loss;
  const lists = [sensors, inputs, outputs, held].map((names) => [...names]);
  const kind = inputs.size > 0 || isWastegateLost(installation, loss) ? fault : '';
  return JSON.stringify([lists, bus, controller, standby, way?.name, way?.case, kind]);
}

/** An engine that stops until the pilot acts has stopped. */
function judged(
  subject: EngineSubject,
  consequences: Consequences,
  changeover: Changeover | undefined,
): Judgement {
  const judgement = severityOf(changeover?.subject ?? subject, consequences);
  if (!changeover) return judgement;
  const { untilThen } = changeover;
  const runs = 'The standby controller runs the engine.';
  return untilThen === undefined
    ? { severity: judgement.severity, reasons: [runs, ...judgement.reasons] }
    : { severity: 'stops', reasons: [untilThen, ...judgement.reasons] };
}
