import { sectionAt } from '../configuration/applied.ts';
import type { Engine } from '../configuration/installation.ts';
import type { TableValue } from '../configuration/values.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import { pressureDemand } from '../derived/pressure-demand.ts';
import { maximumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import { type Node, pathOf } from '../source/tree.ts';
import { type Check, engineCheck } from './check.ts';
import { suspiciousMagnitude, unusualAxis } from './form-values.ts';
import { axesOf, breakpointsNode, tableName, tablesOfEngine } from './tables.ts';
import { passes } from './threshold.ts';
import { thresholdsOf } from './thresholds.ts';
import { formatStated } from './words.ts';

/** The value that an axis must reach, in its canonical unit and reference, and where it is set. */
interface Reach {
  readonly canonical: number;
  readonly what: string;
  readonly node: Node;
}

/** The value that an engine requires an axis to reach, by the quantity of the axis. */
function reachesOf(engine: Engine): ReadonlyMap<string, Reach> {
  const reaches = new Map<string, Reach>();
  const maximum = engine.configuration.engine?.maximum_speed;
  if (maximum)
    reaches.set('engine_speed', { canonical: maximum.canonical, node: maximum.node, what: 'maximum speed' });
  const pressure = pressureDemand(engine);
  if (pressure) reaches.set('manifold_pressure', pressure);
  return reaches;
}

/** The end of each axis of a table: its highest breakpoint, even if they are out of order. */
const endsOf = memo((table: TableValue) =>
  axesOf(table).map(({ axis }) => ({ axis, end: maximumOf(absoluteBreakpoints(axis)) })),
);

export const axisDoesNotCover: Check = engineCheck({
  id: 'axis-does-not-cover',
  severity: 'warning',
  title: 'Axis does not cover engine range',
  page: {
    catches:
      'A speed axis that ends below `engine.maximum_speed`, or a manifold pressure axis that ends below the highest boost target or the overboost cut. Limits under `protection` and tables under `closed_loop` may end earlier.',
    why: 'Beyond its last breakpoint a table holds its edge value. Air and fuel keep rising with pressure, so the engine gets the mixture and the advance of a lower load exactly where it can least tolerate them.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nfuel:\n  volumetric_efficiency:\n    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 5000] }',
    remedy:
      'Add a breakpoint, with its values, at or above the highest speed or pressure that the engine reaches.',
    basis:
      'In the file format a table holds its edge value outside its axis. That tables should span the operating range is common practice, no source.',
  },
  *find(subject) {
    const { installation, tables } = subject;
    const { factor } = thresholdsOf(suspiciousMagnitude, subject);
    const shapes = new Map(tables.map(({ table, shape }) => [table, shape]));
    for (const engine of installation.selectable) {
      const reaches = reachesOf(engine);
      for (const table of tablesOfEngine(engine)) {
        const shape = shapes.get(table);
        // A table that may have any quantity along x is a limit, and holds its edge value on purpose.
        if (shape?.table?.x.includes('any')) continue;
        // So does a table of a closed loop, which need not work everywhere.
        if (sectionAt(pathOf(table.node)) === 'closed_loop') continue;
        for (const { axis, end } of endsOf(table)) {
          const reach = reaches.get(axis.quantity);
          if (!reach || !Number.isFinite(end) || !passes(reach.canonical, end)) continue;
          // `suspicious-magnitude` reports an axis that is in a wrong unit.
          if (unusualAxis(axis, factor!)) continue;
          const unit = axis.quantity === 'engine_speed' ? axis.unit : 'kPa abs';
          yield {
            at: breakpointsNode(axis),
            message: `${tableName(table, shape)}: the highest breakpoint, ${formatStated(end, unit)}, is below the ${reach.what} of ${formatStated(reach.canonical, unit)}. Above ${formatStated(end, unit)} the table holds its edge value.`,
            related: [{ at: reach.node, message: `The ${reach.what}.` }],
          };
        }
      }
    }
  },
});
