import { nodeOf } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import * as physics from '../physics/injector.ts';
import { formatQuantity, formatStated } from '../quantity/index.ts';
import { heldAt } from './cell.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { fuelVolumeFlow, injectorDuty, injectorDutyAtFaultPressure, injectorFlow, railDrop } from './fuel.ts';
import { SEA_LEVEL } from './full-load.ts';
import type { PointValue } from './operating-point.ts';
import { pointAt, type ReachedCells, reachedCells } from './reached-cells.ts';
import {
  apply,
  type DerivedValue,
  derivedValue,
  type MaybeOperand,
  type Operand,
  withNote,
} from './value.ts';

const HIGHEST_IN_CELLS = [injectorDuty, injectorDutyAtFaultPressure, fuelVolumeFlow];

/**
 * The cells that each map set reaches at sea level, on the standard day or the coldest day of the operating points: cold
 * air is denser and needs more fuel.
 */
function cellsOfEngines(
  { points, installation }: Derivation,
  before: readonly ReachedCells[] = [],
): readonly ReachedCells[] {
  const last = new Map(before.map((cells) => [cells.engine.mapSet, cells]));
  const deviation = points.reduce(
    (least, { conditions }) => Math.min(least, conditions.isaDeviation.canonical),
    0,
  );
  return installation.selectable.flatMap(
    (engine) => reachedCells(engine, deviation, HIGHEST_IN_CELLS, last.get(engine.mapSet)) ?? [],
  );
}

/** The reached cell in which a value is highest. */
interface HighestCell {
  readonly cells: ReachedCells;
  readonly index: number;
  readonly value: DerivedValue;
}

/** The first of the reached cells with the highest value. */
function highest(derivation: Derivation, definition: PointValue): HighestCell | undefined {
  let most = Number.NEGATIVE_INFINITY;
  let place: { cells: ReachedCells; index: number } | undefined;
  for (const cells of derivation.once(cellsOfEngines)) {
    const values = cells.values.get(definition)!;
    for (let index = 0; index < values.length; index++) {
      // An unknown value is not a number, which is never greater.
      if (values[index]! > most) {
        most = values[index]!;
        place = { cells, index };
      }
    }
  }
  const value = place && pointAt(place.cells, place.index).get(definition);
  return value && { ...place!, value };
}

/** `at 5800 rpm, 175 kPa abs, ISA −20 K, 13.8 V, map set tow`: the cell and the state in which it was computed. */
function cellText(cells: ReachedCells, index: number, supply: readonly string[] = []): string {
  const { engine, speeds, pressures, deviation } = cells;
  const parts = [
    formatStated(speeds[index]!, 'rpm'),
    formatStated(pressures[index]!, 'kPa abs'),
    ...(deviation === 0 ? [] : [`ISA ${formatQuantity(deviation, 'K').replace('-', '−')}`]),
    ...supply,
    ...(engine.mapSet === undefined ? [] : [`map set ${engine.mapSet}`]),
  ];
  return `at ${parts.join(', ')}`;
}

/** The state that a value of a cell depends on. */
function stateText({ cells, index }: HighestCell, definition: PointValue): string {
  // Fuel flow does not depend on the supply.
  if (definition === fuelVolumeFlow) return cellText(cells, index);
  const { batteryVoltage } = pointAt(cells, index).conditions;
  const text = cellText(cells, index, [formatStated(batteryVoltage.canonical, 'V')]);
  return definition === injectorDutyAtFaultPressure ? `${text}, rail at its fault pressure` : text;
}

/** A reached cell in which a rail at `pressure` is not above the manifold, so that no fuel flows. */
export function cellWithoutFlow(
  derivation: Derivation,
  pressure: MaybeOperand,
): { readonly drop: Operand; readonly where: string } | undefined {
  for (const cells of derivation.once(cellsOfEngines)) {
    if (cells.pressures.length === 0) continue;
    const index = cells.pressures.indexOf(maximumOf(cells.pressures));
    const drop = railDrop(pointAt(cells, index), pressure);
    if (drop && drop.canonical <= 0) return { drop, where: cellText(cells, index) };
  }
  return undefined;
}

/** The highest value of a definition in the reached map cells, placed at the injectors. */
function highestOfCells(id: string, label: string, definition: PointValue): FileValue {
  return {
    id,
    label,
    derive(derivation) {
      const found = highest(derivation, definition);
      const injectors = derivation.installation.configuration.fuel?.injectors;
      if (!found || !injectors) return [];
      const result = withNote(found.value.result, stateText(found, definition));
      return [derivedValue({ id, label }, result, nodeOf(injectors))];
    },
  };
}

export const worstInjectorDuty = highestOfCells(
  'injector_duty_worst_case',
  'Highest injector duty of the map cells at sea level',
  injectorDuty,
);

export const worstInjectorDutyAtFaultPressure = highestOfCells(
  'injector_duty_worst_case_at_fault_pressure',
  'Highest injector duty of the map cells at sea level and fault pressure',
  injectorDutyAtFaultPressure,
);

export const highestFuelFlow = highestOfCells(
  'fuel_flow_worst_case',
  'Highest fuel flow of the map cells at sea level',
  fuelVolumeFlow,
);

export const pumpMargin: FileValue = {
  id: 'pump_margin',
  label: 'Pump margin over the highest fuel flow of the map cells',
  derive(derivation) {
    const pump = derivation.installation.configuration.fuel?.rail?.pump_flow;
    const result = apply(physics.pumpMargin, { pumpFlow: pump, demand: derivation.one(highestFuelFlow) });
    return result ? [derivedValue(pumpMargin, result, nodeOf(pump!))] : [];
  },
};

/** Injector flow at the set rail pressure; with a fixed regulator, with the manifold at sea-level ambient pressure. */
export const injectorFlowAtRailPressure: FileValue = {
  id: 'injector_flow_at_rail_pressure',
  label: 'Injector flow at rail pressure',
  derive({ installation: { engines } }) {
    const [engine] = engines;
    const staticFlow = engine?.configuration.fuel?.injectors?.static_flow;
    if (!engine || !staticFlow) return [];
    const still = heldAt(engine, staticFlow.node, { canonical: 0 }, { canonical: SEA_LEVEL, how: 'ambient' });
    const flow = still.get(injectorFlow);
    return flow ? [derivedValue(injectorFlowAtRailPressure, flow.result, nodeOf(staticFlow))] : [];
  },
};
