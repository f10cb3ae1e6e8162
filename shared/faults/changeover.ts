import type { EngineConfiguration } from '../../generated/configuration.ts';
import { bareObject } from '../bare-object.ts';
import { type EngineSubject, standbySubject } from '../checks/check.ts';
import type { Installation } from '../configuration/installation.ts';
import { lossOf, type SingleFault } from '../derived/loss.ts';
import { effectsAt, type FaultyEngine, faultyEngine, type PointEffects } from './effects.ts';
import { isWastegateLost } from './state.ts';

/** What is left when the standby controller has taken over. */
export interface Changeover {
  /** The engine of the standby controller, with every sensor and output of the file. */
  readonly subject: EngineSubject;
  /** The fault, with everything that the standby controller does not do as lost. */
  readonly engine: FaultyEngine;
  readonly at: readonly PointEffects[];
  /** Why the engine stops in the meantime; undefined if the changeover is automatic. */
  readonly untilThen: string | undefined;
}

/**
 * The changeover to the standby controller; undefined if the first one keeps the engine running, or if the standby controller
 * cannot run it either.
 */
export function changeoverWith(
  subject: EngineSubject,
  { fault, stops }: FaultyEngine,
): Changeover | undefined {
  const { configuration } = subject.installation;
  const standby = standbySubject(subject);
  const { standby: section } = configuration;
  if (!standby || !section || fault.loss.standby || stops === undefined) return undefined;
  const installation = withAllParts(standby.installation, configuration);
  const loss = lossAfter(configuration, fault);
  const { way: _, ...left } = fault;
  // A wastegate that the standby controller does not drive is lost, however the fault that led to the changeover came about.
  const kind = isWastegateLost(subject.installation, fault.loss) ? fault.fault : 'lost';
  const engine = faultyEngine(installation, { ...left, fault: kind, loss });
  if (engine.stops !== undefined) return undefined;
  const at = subject.derivation.points.flatMap((sound) => {
    const point = standby.derivation.point(sound.name);
    return point ? [effectsAt(engine, sound, point)] : [];
  });
  const isBySwitch = section.changes_over?.text === 'switch';
  const selector = section.selector ? `with \`${section.selector.text}\`` : 'with its switch';
  const untilThen = isBySwitch
    ? `The engine stops until the pilot selects the standby controller ${selector}.`
    : undefined;
  const own: EngineSubject = Object.create(subject, { installation: { value: installation } });
  return { subject: own, engine, at, untilThen };
}

/** The engine of the standby controller with every part of the file, of which it has only some. */
function withAllParts(
  standby: Installation,
  { sensors, inputs, outputs, bus, closed_loop }: EngineConfiguration,
): Installation {
  const configuration = Object.assign(bareObject(), standby.configuration, {
    sensors,
    inputs,
    outputs,
    bus,
    closed_loop,
  });
  return { ...standby, configuration };
}

/** What the standby controller does not read or drive, and what has failed besides the first controller. */
function lossAfter(
  { sensors, outputs, bus, standby }: EngineConfiguration,
  { loss }: SingleFault,
): SingleFault['loss'] {
  const isFailed = (names: ReadonlySet<string>, name: string) => !loss.controller && names.has(name);
  const without = (all: object | undefined, own: object | undefined, failed: ReadonlySet<string>) =>
    Object.keys(all ?? {}).filter((name) => !Object.hasOwn(own ?? {}, name) || isFailed(failed, name));
  return lossOf({
    sensors: without(sensors, standby?.reads, loss.sensors),
    outputs: without(outputs, standby?.drives, loss.outputs),
    held: loss.controller ? [] : [...loss.held],
    bus: bus !== undefined,
  });
}
