import type { Engine } from '../configuration/installation.ts';
import { ambientPressure } from '../derived/atmosphere.ts';
import { absoluteAtSeaLevel, targetCells } from '../derived/boost-target.ts';
import { heldAt } from '../derived/cell.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import type { Derivation } from '../derived/derivation.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import type { Node } from '../source/tree.ts';

/** The manifold pressures (Pa, absolute) that an engine is known to run at: of its operating points, boost targets and envelope. */
export const knownPressures = memo(
  ({ points, installation }: Derivation, engine: Engine): readonly number[] => {
    const { envelope } = installation.configuration;
    return [
      ...points
        .filter((point) => point.engine.mapSet === engine.mapSet)
        .flatMap((point) => point.number(manifoldPressure) ?? []),
      ...targetCells(engine).map(({ target }) => target.canonical),
      ...(envelope?.manifold_pressure ? [absoluteAtSeaLevel(envelope.manifold_pressure.quantity)] : []),
      ...(engine.configuration.boost ? [] : [SEA_LEVEL]),
    ];
  },
);

/** The ambient pressures (Pa) at the operating points and at the top of the envelope. */
export function ambientPressures({ points, installation }: Derivation): number[] {
  const [first] = points;
  const canonical = installation.configuration.envelope?.pressure_altitude?.high.canonical;
  const top =
    first && canonical !== undefined
      ? [first.inState({ ...first.conditions, pressureAltitude: { canonical } })]
      : [];
  return [...points, ...top].flatMap((point) => point.number(ambientPressure) ?? []);
}

/**
 * The engine at sea level with the lowest and the highest of these pressures; none if only one is known. `node` is the place
 * of their values.
 */
export const extremeStates = memo(
  (derivation: Derivation, engine: Engine, node: Node): readonly OperatingPoint[] => {
    const pressures = knownPressures(derivation, engine);
    const speed = engine.configuration.engine?.idle_speed ?? { canonical: 1000, how: 'assumed' };
    return pressures.length < 2
      ? []
      : [minimumOf(pressures), maximumOf(pressures)].map((canonical) =>
          heldAt(engine, node, speed, { canonical }),
        );
  },
);
