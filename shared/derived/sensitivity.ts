import { numberSlopes, type SlopedNumber } from '../arithmetic/slopes.ts';
import { lookUp, placeOnAxis } from '../configuration/lookup.ts';
import type { Axis, TableValue } from '../configuration/values.ts';
import { halfWidthOf, type Quantity } from '../quantity/index.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';
import { toleranceAt } from './table-tolerance.ts';
import { isReadable, readTrace, Trace } from './trace.ts';
import { chosen, type DerivedValue, type Operand } from './value.ts';

/** How strongly a value depends on one number of the file. */
export interface Sensitivity {
  /** The key path of the number, or of the table, whose values are taken to change together. */
  readonly at: string;
  readonly node: Node;
  /**
   * Change of the value in percent for one percent of the number; for a temperature or an angle, for one K or degree.
   */
  readonly percentPerPercent: number;
  /** The change of the number: `1 %`, `1 K` or `1 deg`. */
  readonly per: string;
}

/**
 * The sensitivities of a value to every number of the file that it follows from, the largest first: exact derivatives
 * of the formulas that are shown. At a breakpoint of a table, the slope is that towards higher values.
 */
export function sensitivitiesOf(value: DerivedValue): readonly Sensitivity[] {
  if (!Number.isFinite(value.canonical) || value.canonical === 0) return [];
  return effectsOn(value)
    .map(({ node, perStep, unit }) => ({
      at: pathText(pathOf(node)),
      node,
      percentPerPercent: perStep / value.canonical,
      per: `1 ${unit ?? '%'}`,
    }))
    .filter(({ percentPerPercent }) => percentPerPercent !== 0)
    .sort((a, b) => Math.abs(b.percentPerPercent) - Math.abs(a.percentPerPercent));
}

/** The effect of one number of the file, or of one table, on a value, in its canonical unit and to first order. */
export interface Effect {
  readonly node: Node;
  /** The change of the value if the number changes by 100 %; for a temperature or an angle, by 100 K or degrees. */
  readonly perStep: number;
  /** `K` for a temperature, `deg` for an angle: numbers whose zero is arbitrary. */
  readonly unit: 'K' | 'deg' | undefined;
  /** The change of the value if the number is at the high end of its tolerance. */
  readonly ofTolerance: number;
}

/** A number or a table of the file. */
interface Variable {
  readonly node: Node;
  /** The change of the number that `perStep` is for; 1 for a table, because its step is the value read from it. */
  readonly step: number;
  readonly unit: Effect['unit'];
  /** Half the width of a number's tolerance. */
  readonly tolerance: number;
}

/**
 * The effects of all numbers and tables that a value follows from, in the order of its derivation; none if one of its
 * formulas has no closed expression.
 */
export function effectsOn(value: DerivedValue): readonly Effect[] {
  const trace = new Trace();
  const target = trace.indexOf(value);
  if (!isReadable(trace)) return [];
  const variables: Variable[] = [];
  const variableOf = new Map<object, number>();
  const add = (key: object, variable: Variable): void => {
    if (!variableOf.has(key)) variableOf.set(key, variables.push(variable) - 1);
  };
  for (const step of trace.steps) {
    if (step.type === 'table')
      add(step.table, { node: step.table.node, step: 1, unit: undefined, tolerance: 1 });
    if (step.type !== 'input') continue;
    const { node, quantity } = step.operand;
    // A choice such as the cycle also stands for a number, but cannot change by one percent.
    if (!node || !quantity) continue;
    const tolerance = quantity.tolerance ? halfWidthOf(quantity.tolerance, quantity.canonical) : 0;
    const unit = arbitraryUnit(quantity);
    add(step.operand, { node, step: unit ? 100 : quantity.canonical, unit, tolerance });
  }
  // Two slopes for each variable: that of a step, then that of the tolerance.
  const slopesFrom = (key: object, step: number, tolerance: number): (number | undefined)[] => {
    const slopes: (number | undefined)[] = new Array(2 * variables.length).fill(undefined);
    const index = variableOf.get(key);
    if (index !== undefined) [slopes[2 * index], slopes[2 * index + 1]] = [step, tolerance];
    return slopes;
  };
  const results = readTrace<SlopedNumber>(trace, {
    input(operand: Operand) {
      const variable = variables[variableOf.get(operand) ?? -1];
      const slopes = slopesFrom(operand, variable?.step ?? 0, variable?.tolerance ?? 0);
      return { value: operand.canonical, slopes };
    },
    table(table, x, y) {
      const found = lookUp(table, x.value, y?.value)!;
      const own = slopesFrom(table, found, toleranceAt(table, x.value, y?.value));
      const alongX = slopeAlong(table, 'x', x.value, y?.value);
      const alongY = y ? slopeAlong(table, 'y', x.value, y.value) : 0;
      const slopes = own.map((slope, i) => {
        const through = (x.slopes[i] ?? 0) * alongX + (y?.slopes[i] ?? 0) * alongY;
        return (slope ?? 0) + through;
      });
      return { value: found, slopes };
    },
    formula: (formula, operands) => formula.in(numberSlopes)(operands),
    choose: (within, outside, ranges) =>
      chosen(
        within,
        outside,
        ranges.map(({ of, low, high }) => ({ of: of.value, low, high })),
      ),
  });
  const { slopes } = results[target]!;
  return variables.map(({ node, unit }, i) => ({
    node,
    unit,
    perStep: slopes[2 * i] ?? 0,
    ofTolerance: slopes[2 * i + 1] ?? 0,
  }));
}

/** The unit of a change of a number whose zero is arbitrary; undefined if a change by one percent means something. */
function arbitraryUnit({ unit }: Quantity): Effect['unit'] {
  if (unit?.dimension === 'temperature') return 'K';
  return unit?.dimension === 'angle' ? 'deg' : undefined;
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
