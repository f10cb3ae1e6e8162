import { lookUp, placeOnAxis } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { memo } from '../memo.ts';
import type { Node } from '../source/tree.ts';
import type { CurveSetting, EngineSubject } from './check.ts';

/** The check under whose name a file replaces the curves, for every check that uses them. */
export const MIXTURE_CHECK = 'lean-at-high-load';

/**
 * The leanest and the richest usual lambda over manifold pressure. The denser the charge, the more fuel it takes to keep
 * detonation and exhaust temperature away. Common practice, no source.
 */
export const mixtureCurves = {
  leanest: {
    x: 'manifold_pressure',
    unit: 'kPa abs',
    breakpoints: [94, 95, 109, 110, 130, 150, 180, 220],
    values: [1.3, 1, 1, 0.95, 0.91, 0.89, 0.87, 0.85],
    meaning:
      'Leanest usual lambda at each manifold pressure; above the last breakpoint, the last value applies.',
  },
  richest: {
    x: 'manifold_pressure',
    unit: 'kPa abs',
    breakpoints: [40, 100, 150],
    values: [0.7, 0.68, 0.65],
    meaning: 'Richest usual lambda at each manifold pressure.',
  },
} as const satisfies Record<string, CurveSetting>;

/** A limit of lambda over manifold pressure, Pa absolute. */
export interface MixtureLimit {
  at(pressure: number): number;
  /** The pressures between which it is linear. */
  readonly breakpoints: readonly number[];
  /** The curve, if the file states it. */
  readonly node?: Node;
}

export interface UsualMixture {
  readonly leanest: MixtureLimit;
  readonly richest: MixtureLimit;
}

/** The usual mixture of an engine: the curves that its file states with a reason, or else the default ones. */
export function usualMixture({ installation: { configuration } }: EngineSubject): UsualMixture {
  const own = configuration.checks?.[MIXTURE_CHECK];
  const stated = (name: keyof typeof mixtureCurves): TableValue | undefined => {
    const curve = own?.reason ? own[name] : undefined;
    return curve?.type === 'table' && isOverPressure(curve) ? curve : undefined;
  };
  return mixtureOf(stated('leanest'), stated('richest'));
}

/** Whether a table is a curve of plain numbers over manifold pressure; `override-of-wrong-kind` reports any other. */
const isOverPressure = ({ x, y, unit, cells }: TableValue): boolean =>
  x?.quantity === 'manifold_pressure' && !y && isPlain(unit) && cells !== undefined;

/** Whether the unit of a curve of plain numbers is none, or percent. */
export const isPlain = (unit: string): boolean => unit === '' || unit === '%';

/** The same object for the same curves. */
const mixtureOf = memo(
  (leanest: TableValue | undefined, richest: TableValue | undefined): UsualMixture => ({
    leanest: leanest ? limitOfTable(leanest) : limitOf(mixtureCurves.leanest),
    richest: richest ? limitOfTable(richest) : limitOf(mixtureCurves.richest),
  }),
);

function limitOfTable(table: TableValue): MixtureLimit {
  const offset = table.x!.reference === 'gauge' ? SEA_LEVEL : 0;
  return {
    at: (pressure) => lookUp(table, pressure - offset)!,
    breakpoints: table.x!.breakpoints.map((one) => one + offset),
    node: table.node,
  };
}

function limitOf({ breakpoints, values }: CurveSetting): MixtureLimit {
  const points = breakpoints.map((kPa) => kPa * 1000);
  return {
    at(pressure) {
      const { index, share } = placeOnAxis({ breakpoints: points }, pressure);
      return values[index]! + (values[index + 1]! - values[index]!) * share;
    },
    breakpoints: points,
  };
}
