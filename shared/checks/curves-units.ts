import { absoluteBreakpoints } from '../derived/full-load.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { type Check, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { axesOf, breakpointsNode, tableName, tablesOf } from './tables.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated } from './words.ts';

export const axisUnitImplausible: Check = engineCheck({
  id: 'axis-unit-implausible',
  severity: 'warning',
  title: 'Axis in wrong unit',
  page: {
    catches:
      'A manifold pressure axis of an engine map that begins above ambient pressure, or a throttle axis that ends at a nearly closed throttle.',
    why: 'The numbers are usually right and their unit is wrong, so the engine uses one edge of the map nearly everywhere.',
    example:
      'target:\n  y: { quantity: throttle_position, unit: "%", breakpoints: [0, 0.2, 0.5, 1.0] }   # fractions',
    remedy: 'Correct the unit or the breakpoints.',
    basis:
      'A throttled engine idles at a third of ambient pressure. The thresholds are common practice, no source.',
  },
  settings: {
    pressure: {
      kind: 'absolute pressure',
      value: '105 kPa abs',
      meaning: 'Highest pressure at which a manifold pressure axis may begin.',
    },
    throttle: { kind: 'ratio', value: '20 %', meaning: 'Lowest throttle opening at which an axis may end.' },
  },
  *find(subject, { pressure, throttle }) {
    for (const { table, shape } of tablesOf(subject)) {
      // A curve of a limit or a correction may be about a part of the range.
      if (!table.y || shape?.table?.x.includes('any')) continue;
      for (const { axis } of axesOf(table)) {
        const breakpoints = absoluteBreakpoints(axis);
        if (breakpoints.length < 2) continue;
        const [first, last] = [minimumOf(breakpoints), maximumOf(breakpoints)];
        if (axis.quantity === 'manifold_pressure' && passes(first, pressure))
          yield {
            at: breakpointsNode(axis),
            message: `${tableName(table, shape)}: the axis begins at ${formatQuantity(first, 'kPa abs', 3)}, above ambient pressure; its unit is probably not ${quote(axis.unit)}.`,
          };
        if (axis.quantity === 'throttle_position' && passes(throttle, last))
          yield {
            at: breakpointsNode(axis),
            message: `${tableName(table, shape)}: the axis ends at a throttle opening of ${formatStated(last, '%')}; its unit is probably not ${axis.unit ? quote(axis.unit) : 'a ratio'}.`,
          };
      }
    }
  },
});
