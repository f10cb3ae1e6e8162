import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import { nodeOf, type TableValue } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import * as firing from '../physics/firing.ts';
import { lookedUp } from '../physics/formula.ts';
import { knockFrequency as knockFrequencyFormula } from '../physics/knock.ts';
import { chargeTemperature, pressureOnAxis } from './charge-air.ts';
import { turnsPerCycle } from './cylinder.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { unevenSparkInterval } from './firing-intervals.ts';
import type { PointValue } from './operating-point.ts';
import { sensorsOf } from './sensor-input.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

const advanceMap: WhichTable = ({ ignition }) => ignition?.advance;
const retardCurve: WhichTable = ({ ignition }) => ignition?.charge_temperature_retard;

export const ignitionAdvance: PointValue = {
  id: 'ignition_advance',
  label: 'Ignition advance',
  derive(point) {
    const ignition = point.configuration.ignition;
    const retard = ignition?.charge_temperature_retard;
    return apply(firing.ignitionAdvance, {
      fromMap: point.lookUp(advanceMap, point.conditions.speed, pressureOnAxis(point, ignition?.advance?.y)),
      retard: retard
        ? point.lookUp(retardCurve, point.get(chargeTemperature))
        : { canonical: 0, how: 'no charge temperature retard stated' },
    });
  },
};

export const knockFrequency: FileValue = {
  id: 'knock_frequency',
  label: 'Knock frequency, first circumferential mode',
  derive({ installation: { configuration } }) {
    const bore = configuration.engine?.bore;
    const result = apply(knockFrequencyFormula, { bore });
    return result ? [derivedValue(knockFrequency, result, nodeOf(bore!))] : [];
  },
};

/** The highest advance in the maps of all map sets, in degrees, and its cell. */
function highestAdvance({ installation }: Derivation): Operand | undefined {
  let most: Operand | undefined;
  for (const { configuration } of installation.selectable) {
    const map = configuration.ignition?.advance;
    const highest = map && highestCell(map);
    if (highest && !(most && most.canonical >= highest.canonical)) most = highest;
  }
  return most;
}

/** The first of the highest cells of a map; map sets share what they do not change. */
const highestCell = memo(({ cells, rows }: TableValue): Operand | undefined => {
  if (!cells) return undefined;
  const canonical = maximumOf(cells);
  const node = rows.flat()[cells.indexOf(canonical)];
  return node && { canonical, node, how: 'highest cell of the map' };
});

/**
 * Revolutions in which each cylinder sparks once. A wasted-spark coil fires once per revolution; in a pair of cylinders
 * the wasted spark coincides with the other's firing, but with an odd number of cylinders it falls between two firings.
 */
function turnsPerSpark(configuration: EngineConfiguration): Operand | undefined {
  const { engine, ignition } = configuration;
  const isOdd = (engine?.cylinders?.canonical ?? 0) % 2 === 1;
  return ignition?.arrangement?.text === 'wasted-spark' && isOdd
    ? { canonical: 1, node: ignition.arrangement.node, how: 'one spark per revolution' }
    : turnsPerCycle(configuration);
}

const shortestInterval = lookedUp('shortest-interval', 'α_f', 'shortest of the firing intervals', 'deg');

/** The crank angle from one spark to the next, the shortest if the engine fires unevenly. */
export function sparkInterval(configuration: EngineConfiguration): Result | undefined {
  const uneven = unevenSparkInterval(configuration);
  if (uneven) return apply(shortestInterval, { found: uneven });
  return apply(firing.firingAngle, {
    revolutions: turnsPerSpark(configuration),
    cylinders: configuration.engine?.cylinders,
  });
}

/** Earliest crank angle after a cylinder's top dead centre at which the next one sparks; placed at each knock window. */
export const nextSpark: FileValue = {
  id: 'next_spark',
  label: 'Earliest spark of the next cylinder after top dead centre',
  derive(derivation) {
    const { configuration } = derivation.installation;
    const result = apply(firing.nextSparkAngle, {
      interval: sparkInterval(configuration),
      advance: highestAdvance(derivation),
    });
    if (!result) return [];
    return sensorsOf(configuration, 'knock').flatMap(([, { window }]) =>
      window?.to ? [derivedValue(nextSpark, result, nodeOf(window.to))] : [],
    );
  },
};
