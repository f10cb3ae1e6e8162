import type { Sloped } from '../arithmetic/slopes.ts';
import { lookUp, placeOnAxis, type WhichTable } from '../configuration/lookup.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { splitUnit } from '../quantity/index.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';
import { slopedNumberOf } from './formula-reading.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { readTrace, Trace, TracedPoint } from './trace.ts';
import { chosen, type Operand } from './value.ts';

/** How much a value follows one number of the file. */
export interface Sensitivity {
  /** The key path of the number, or of the table, whose values are taken to change together. */
  readonly at: string;
  readonly node: Node;
  /** Change of the value in percent for one percent of the number; for a temperature or an angle, for one K or degree. */
  readonly percentPerPercent: number;
  /** The change of the number: `1 %`, `1 K` or `1 deg`. */
  readonly per: string;
}

/**
 * The sensitivities of a value of an operating point to every number of the file that it follows from, the largest first: exact
 * derivatives of the formulas that are shown. At a breakpoint of a table, the slope is that towards higher values.
 */
export function sensitivitiesOf(point: OperatingPoint, definition: PointValue): readonly Sensitivity[] {
  const traced = tracedOf(point);
  const value = traced.get(definition);
  if (!value || !Number.isFinite(value.canonical) || value.canonical === 0) return [];
  const trace = new Trace();
  const target = trace.indexOf(value);
  const tables = new Map<WhichTable, TableValue>();
  const variables: { readonly node: Node; readonly size: number }[] = [];
  const variableOf = new Map<object, number>();
  const add = (key: object, node: Node, size: number): void => {
    if (variableOf.has(key)) return;
    variableOf.set(key, variables.push({ node, size }) - 1);
  };
  for (const step of trace.steps) {
    if (step.type === 'input' && step.operand.node && isNumber(step.operand))
      add(step.operand, step.operand.node, step.operand.canonical);
    if (step.type !== 'table') continue;
    const table = step.which(point.configuration)!;
    tables.set(step.which, table);
    add(table, table.node, 1);
  }
  const unit = (key: object, slope: number): (number | undefined)[] => {
    const index = variableOf.get(key);
    return variables.map((_, i) => (i === index ? slope : undefined));
  };
  const results = readTrace<Sloped<number>>(trace, {
    input: (operand) => ({ value: operand.canonical, slopes: unit(operand, 1) }),
    table(which, x, y) {
      const table = tables.get(which)!;
      const found = lookUp(table, x.value, y?.value)!;
      const own = unit(table, found);
      const alongX = slopeAlong(table, 'x', x.value, y?.value);
      const alongY = y ? slopeAlong(table, 'y', x.value, y.value) : 0;
      const slopes = own.map((slope, i) => {
        const through = (x.slopes[i] ?? 0) * alongX + (y?.slopes[i] ?? 0) * alongY;
        return (slope ?? 0) + through;
      });
      return { value: found, slopes };
    },
    formula: slopedNumberOf,
    choose: (within, outside, ranges) =>
      chosen(
        within,
        outside,
        ranges.map(({ of, low, high }) => ({ of: of.value, low, high })),
      ),
  });
  const { slopes } = results[target]!;
  return variables
    .flatMap(({ node, size }, i): Sensitivity[] => {
      const slope = slopes[i];
      if (!slope) return [];
      const unit = unitOf(node);
      const percentPerPercent = (slope * (unit === undefined ? size : 100)) / value.canonical;
      return [{ at: pathText(pathOf(node)), node, percentPerPercent, per: `1 ${unit ?? '%'}` }];
    })
    .sort((a, b) => Math.abs(b.percentPerPercent) - Math.abs(a.percentPerPercent));
}

const tracedOf = memo(
  (point: OperatingPoint): TracedPoint =>
    new TracedPoint(point.name, point.engine, point.conditions, point.node),
);

/** A quantity, and not a choice such as the cycle, which stands for a number and cannot change by one percent. */
const isNumber = (operand: Operand): boolean => 'quantity' in operand;

/** The unit of a change of a number whose zero is arbitrary; undefined if a change by one percent means something. */
function unitOf(node: Node): string | undefined {
  const text = node.type === 'scalar' ? node.text.replace(/^[-+\d.eE]+\s*/, '') : '';
  const dimension = splitUnit(text)?.unit.dimension;
  if (dimension === 'temperature') return 'K';
  return dimension === 'angle' ? 'deg' : undefined;
}

/** The slope of a table along an axis, in canonical units; zero beyond the axis, where the edge value holds. */
function slopeAlong(table: TableValue, axis: 'x' | 'y', x: number, y: number | undefined): number {
  const { breakpoints } = table[axis] as Axis;
  const at = axis === 'x' ? x : y!;
  const last = breakpoints.length - 1;
  if (last < 1 || at < breakpoints[0]! || at >= breakpoints[last]!) return 0;
  const { index } = placeOnAxis(table[axis]!, at);
  const [from, to] = [breakpoints[index]!, breakpoints[index + 1]!];
  const value = (place: number) => (axis === 'x' ? lookUp(table, place, y)! : lookUp(table, x, place)!);
  return (value(to) - value(from)) / (to - from);
}
