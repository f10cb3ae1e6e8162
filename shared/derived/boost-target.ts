import type { Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { formatStated, type Quantity } from '../quantity/index.ts';
import type { ScalarNode } from '../source/tree.ts';
import { atSeaLevel } from './cell.ts';
import { criticalAltitude, targetManifoldPressure } from './charge-air.ts';
import { memoByBreathing } from './core-engine.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { SEA_LEVEL } from './full-load.ts';
import type { OperatingPoint } from './operating-point.ts';
import { type DerivedValue, derivedValue, withNote } from './value.ts';

/** A cell of a boost target, with the engine in that state at sea level on the standard day. */
export interface TargetCell {
  readonly cell: ScalarNode;
  readonly engine: Engine;
  readonly point: OperatingPoint;
  /** The pressure of the cell, absolute. */
  readonly target: DerivedValue;
  readonly fullThrottle: boolean;
}

/** The cells of an engine's boost target; none if the map is incomplete. The last row holds up to full throttle. */
export const targetCells = memoByBreathing((engine): readonly TargetCell[] => {
  const map = engine.configuration.boost?.target;
  if (!map?.cells || !map.x || !map.y) return [];
  const { x, y } = map;
  return map.rows.flatMap((row, i) =>
    row.flatMap((cell, j) => {
      const throttle = { canonical: y.breakpoints[i]!, how: 'row' };
      const speed = { canonical: x.breakpoints[j]!, how: 'column' };
      const point = atSeaLevel(engine, cell, { speed, throttle, manifoldPressure: undefined });
      const target = point.get(targetManifoldPressure);
      return target ? [{ cell, engine, point, target, fullThrottle: i === y.breakpoints.length - 1 }] : [];
    }),
  );
});

/** `at 5500 rpm, 100 % throttle, map set tow` */
export function targetCellText({ engine, point }: TargetCell): string {
  const { speed, throttle } = point.conditions;
  const set = engine.mapSet === undefined ? '' : `, map set \`${engine.mapSet}\``;
  return `at ${formatStated(speed.canonical, 'rpm')}, ${formatStated(throttle!.canonical, '%')} throttle${set}`;
}

/** The first of the cells with the highest target. */
const highestOf = (cells: Iterable<TargetCell>): TargetCell | undefined => {
  let most: TargetCell | undefined;
  for (const cell of cells) if (!most || cell.target.canonical > most.target.canonical) most = cell;
  return most;
};

/** The cell of an engine's boost target with the highest pressure at sea level. */
export const highestOfEngine = memoByBreathing((engine) => highestOf(targetCells(engine)));

/** The cell with the highest target in any map set. */
const highestCell = ({ installation }: Derivation): TargetCell | undefined =>
  highestOf(installation.selectable.flatMap((engine) => highestOfEngine(engine) ?? []));

export const highestBoostTarget: FileValue = {
  id: 'highest_boost_target',
  label: 'Highest boost target at sea level',
  derive(derivation) {
    const highest = highestCell(derivation);
    if (!highest) return [];
    const result = withNote(highest.target.result, targetCellText(highest));
    return [derivedValue(highestBoostTarget, result, highest.cell)];
  },
};

export const criticalAltitudeOfHighestTarget: FileValue = {
  id: 'critical_altitude_of_highest_target',
  label: 'Critical altitude of the highest boost target',
  derive(derivation) {
    const highest = highestCell(derivation);
    const altitude = highest?.point.get(criticalAltitude);
    const map = highest?.engine.configuration.boost?.target;
    if (!altitude || !map) return [];
    const result = withNote(altitude.result, targetCellText(highest));
    return [derivedValue(criticalAltitudeOfHighestTarget, result, map.node)];
  },
};

/** An overboost cut in Pa absolute, for comparison with targets, axes and sensors. */
export const absoluteCut = ({ quantity }: Pick<QuantityValue, 'quantity'>): number =>
  absoluteAtSeaLevel(quantity);

/** A pressure in Pa absolute; gauge pressures are converted at sea level. */
export function absoluteAtSeaLevel({
  canonical,
  reference,
}: Pick<Quantity, 'canonical' | 'reference'>): number {
  return reference === 'gauge' ? canonical + SEA_LEVEL : canonical;
}
