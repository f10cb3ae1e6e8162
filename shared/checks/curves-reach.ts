import type { Engine } from '../configuration/installation.ts';
import type { TableValue } from '../configuration/values.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import { pressureDemand } from '../derived/pressure-demand.ts';
import { maximumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import type { Node } from '../source/tree.ts';
import { type Check, engineCheck } from './check.ts';
import { UNUSUAL_FACTOR, unusualAxis } from './form-values.ts';
import { axesOf, breakpointsNode, tableName, tablesOfEngine } from './tables.ts';
import { passes } from './threshold.ts';
import { formatQuantity } from './words.ts';

/** How far an axis must go, in its canonical unit and reference, and what says so. */
interface Reach {
  readonly canonical: number;
  readonly what: string;
  readonly node: Node;
}

/** By the quantity of an axis, how far it must go for an engine. */
function reachesOf(engine: Engine): ReadonlyMap<string, Reach> {
  const reaches = new Map<string, Reach>();
  const maximum = engine.configuration.engine?.maximum_speed;
  if (maximum)
    reaches.set('engine_speed', { canonical: maximum.canonical, node: maximum.node, what: 'maximum speed' });
  const pressure = pressureDemand(engine);
  if (pressure) reaches.set('manifold_pressure', pressure);
  return reaches;
}

/** Where each axis of a table ends. Out of order, it still reaches to its greatest breakpoint. */
const endsOf = memo((table: TableValue) =>
  axesOf(table).map(({ axis }) => ({ axis, end: maximumOf(absoluteBreakpoints(axis)) })),
);

export const axisDoesNotCover: Check = engineCheck({
  id: 'axis-does-not-cover',
  severity: 'warning',
  title: 'A table ends before the engine does',
  page: {
    catches:
      'A speed axis that ends below `maximum_speed`, or a manifold pressure axis that ends below the highest boost target or the overboost cut. Limits under `protection` may end earlier.',
    why: 'Beyond its last breakpoint a table holds its edge value. Air and fuel keep rising with pressure, so the engine gets the mixture and the advance of a lower load just where it bears least.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nfuel:\n  volumetric_efficiency:\n    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 3000, 5000] }',
    remedy: 'Add a breakpoint at or above the end that the engine reaches, with values for it.',
    basis:
      'The format: outside, the edge value holds. That tables should span the range is common practice, no source.',
  },
  *find({ installation, tables }) {
    // A place that takes any quantity along x holds a limit, whose edge value is meant to hold.
    const limits = new Set(
      tables.filter(({ shape }) => shape.table?.x.includes('any')).map(({ table }) => table),
    );
    for (const engine of installation.selectable) {
      const reaches = reachesOf(engine);
      for (const table of tablesOfEngine(engine)) {
        if (limits.has(table)) continue;
        for (const { axis, end } of endsOf(table)) {
          const reach = reaches.get(axis.quantity);
          if (!reach || !Number.isFinite(end) || !passes(reach.canonical, end)) continue;
          // In a wrong unit it ends nowhere; that is said already.
          if (unusualAxis(axis, UNUSUAL_FACTOR)) continue;
          const unit = axis.quantity === 'engine_speed' ? axis.unit : 'kPa abs';
          yield {
            at: breakpointsNode(axis),
            message: `${tableName(table)} ends at ${formatQuantity(end, unit)} and the ${reach.what} is ${formatQuantity(reach.canonical, unit)}: above its end the edge value holds.`,
            related: [{ at: reach.node, message: `The ${reach.what} is set here.` }],
          };
        }
      }
    }
  },
});
