import type { EngineSubject } from '../checks/check.ts';
import type { FaultKind } from '../derived/loss.ts';
import { singleFaults } from '../derived/single-faults.ts';
import { memo } from '../memo.ts';
import { type Effect, effectsAt, faultyEngine } from './effects.ts';
import { lostWith } from './lost.ts';
import { type FaultSeverity, severityOf } from './severity.ts';
import { isNoticed, toldBy } from './told.ts';

/** One single fault of the installation with everything that follows from it. */
export interface FaultRow {
  /** The key path of what fails. */
  readonly of: string;
  readonly fault: FaultKind;
  /** Whether the controller can detect the fault. */
  readonly noticed: boolean;
  readonly effects: readonly PlacedEffect[];
  /** The key paths of everything that no longer works: sensors, inputs, outputs, limits, loops and bus signals. */
  readonly lost: readonly string[];
  /** Whether everything that the controller does is lost. */
  readonly losesAll: boolean;
  /** The key paths of the lights that come on and of the signals that stop. */
  readonly toldBy: readonly string[];
  readonly severity: FaultSeverity;
  readonly reasons: readonly string[];
  /** What the file itself states about the fault, under `faults`. */
  readonly stated: string | undefined;
}

/** A value that a fault changes, at the operating point at `at`. */
export interface PlacedEffect extends Effect {
  readonly at: string;
  readonly point: string;
}

/** The fault table of an installation: one row for each single fault, in the order of the file. */
export const faultTable = memo((subject: EngineSubject): readonly FaultRow[] => {
  const { installation, derivation } = subject;
  const { configuration } = installation;
  return singleFaults(installation).map((fault) => {
    const engine = faultyEngine(installation, fault);
    const noticed = isNoticed(installation, fault);
    const at = derivation.points.map((point) => effectsAt(engine, point));
    const lost = lostWith(configuration, fault.loss);
    const told = toldBy(installation, { fault, noticed, lost }, at);
    return {
      of: fault.of,
      fault: fault.fault,
      noticed,
      effects: at.flatMap(({ point, effects }) =>
        effects.map((effect) => ({ ...effect, at: effect.value.at, point: point.name })),
      ),
      lost: [...lost.parts, ...lost.limits, ...lost.loops, ...lost.signals],
      losesAll: fault.loss.controller,
      toldBy: told,
      ...severityOf(subject, { ...engine, lost, toldBy: told, at }),
      stated: configuration.faults?.[fault.of]?.effect?.text,
    };
  });
});
