import type { Check, EngineSubject } from '../checks/check.ts';
import { axisDoesNotCover } from '../checks/curves-reach.ts';
import { sensorRangeShort } from '../checks/sensors-range.ts';
import { axesOf, breakpointsNode, tablesOfEngine } from '../checks/tables.ts';
import type { Engine } from '../configuration/installation.ts';
import { type Axis, nodeOf } from '../configuration/values.ts';
import { reportable, sensorsByQuantity } from '../derived/sensor-reading.ts';
import { maximumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import { pathOf, pathText } from '../source/tree.ts';
import type { LimitValue } from './limits.ts';

/** A limit that follows from what a table covers or a sensor reads. */
interface Coverage extends LimitValue {
  /** The value that should be covered. */
  readonly id: string;
  readonly side: 'high' | 'low';
  /** The check that reports what is not covered. */
  readonly check: Check;
}

/** The value that a sensor measures, by the name of its quantity. A pressure relative to ambient is the boost pressure. */
const MEASURED: Readonly<Record<string, string>> = {
  manifold_pressure: 'manifold_pressure',
  ambient_pressure: 'ambient_pressure',
  charge_temperature: 'charge_temperature',
  intake_air_temperature: 'ambient_temperature',
  coolant_temperature: 'coolant_temperature',
  throttle_position: 'throttle_position',
  battery_voltage: 'battery_voltage',
  engine_speed: 'engine_speed',
  lambda: 'target_lambda',
};

const idOf = (quantity: string, reference: string | undefined): string | undefined =>
  quantity === 'manifold_pressure' && reference === 'gauge' ? 'boost_pressure' : MEASURED[quantity];

/** The ends of what the sensors of an engine can read. */
function sensorCoverage({ configuration }: Engine, { installation }: EngineSubject): Coverage[] {
  const sensors = configuration.sensors && sensorsByQuantity(configuration.sensors);
  return [...(sensors ?? [])].flatMap(([quantity, named]) =>
    named.flatMap(([, sensor]): Coverage[] => {
      const reach = reportable({ configuration, controller: installation.controller }, sensor);
      const id = reach && idOf(quantity, reach.reference);
      if (!id) return [];
      const at = pathText(pathOf(nodeOf(sensor)));
      const ends = { id, at, check: sensorRangeShort };
      return [
        { ...ends, side: 'high' as const, value: reach.high },
        { ...ends, side: 'low' as const, value: reach.low },
      ].filter(({ value }) => Number.isFinite(value));
    }),
  );
}

/**
 * The highest breakpoints of the axes over speed and manifold pressure, as in the check `axis-does-not-cover`. The curves of
 * protection limits hold their edge values on purpose.
 */
const tableCoverage = (engine: Engine): Coverage[] =>
  tablesOfEngine(engine)
    .filter(({ node }) => !pathOf(node).includes('protection'))
    .flatMap((table) => axesOf(table).flatMap(({ axis }) => endOf(axis)));

function endOf(axis: Axis): Coverage[] {
  const { quantity, breakpoints, reference } = axis;
  if ((quantity !== 'engine_speed' && quantity !== 'manifold_pressure') || breakpoints.length === 0)
    return [];
  const at = pathText(pathOf(breakpointsNode(axis)));
  const value = maximumOf(breakpoints);
  return [{ id: idOf(quantity, reference)!, at, side: 'high', value, check: axisDoesNotCover }];
}

const allCoverage = memo((engine: Engine, subject: EngineSubject): readonly Coverage[] => [
  ...sensorCoverage(engine, subject),
  ...tableCoverage(engine),
]);

/** What the sensors and tables of an engine cover, of one value and on one side. */
export const coverageOf = (
  engine: Engine,
  subject: EngineSubject,
  { id, side }: Pick<Coverage, 'id' | 'side'>,
): readonly Coverage[] => allCoverage(engine, subject).filter((one) => one.id === id && one.side === side);
