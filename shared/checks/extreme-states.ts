import type { Engine } from '../configuration/installation.ts';
import { ambientPressure } from '../derived/atmosphere.ts';
import { absoluteAtSeaLevel, targetCells } from '../derived/boost-target.ts';
import { heldAt } from '../derived/cell.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import type { Node } from '../source/tree.ts';
import type { EngineSubject } from './check.ts';

/** The manifold pressures (Pa, absolute) that an engine is known to run at: of its operating points, boost targets and envelope. */
export function knownPressures({ derivation, installation }: EngineSubject, engine: Engine): number[] {
  const { envelope } = installation.configuration;
  return [
    ...derivation.points
      .filter((point) => point.engine.mapSet === engine.mapSet)
      .flatMap((point) => point.number(manifoldPressure) ?? []),
    ...targetCells(engine).map(({ target }) => target.canonical),
    ...(envelope?.manifold_pressure ? [absoluteAtSeaLevel(envelope.manifold_pressure.quantity)] : []),
    ...(engine.configuration.boost ? [] : [SEA_LEVEL]),
  ];
}

/** The ambient pressures (Pa) at the operating points and at the top of the envelope. */
export function ambientPressures({ derivation: { points }, installation }: EngineSubject): number[] {
  const [first] = points;
  const canonical = installation.configuration.envelope?.pressure_altitude?.high.canonical;
  const top =
    first && canonical !== undefined
      ? [first.inState({ ...first.conditions, pressureAltitude: { canonical } })]
      : [];
  return [...points, ...top].flatMap((point) => point.number(ambientPressure) ?? []);
}

/** The engine at sea level with the lowest and the highest of these pressures; none if only one is known. */
export function extremeStates(subject: EngineSubject, engine: Engine, node: Node): OperatingPoint[] {
  const pressures = knownPressures(subject, engine);
  const speed = engine.configuration.engine?.idle_speed ?? { canonical: 1000, how: 'assumed' };
  return pressures.length < 2
    ? []
    : [minimumOf(pressures), maximumOf(pressures)].map((canonical) =>
        heldAt(engine, node, speed, { canonical }),
      );
}
