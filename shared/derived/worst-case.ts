import { nodeOf } from '../configuration/values.ts';
import * as physics from '../physics/injector.ts';
import { formatStated } from '../quantity/index.ts';
import { heldAt } from './cell.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { fuelVolumeFlow, injectorDuty, injectorDutyAtFaultPressure, injectorFlow } from './fuel.ts';
import { SEA_LEVEL } from './full-load.ts';
import type { PointValue } from './operating-point.ts';
import { pointAt, type ReachedCells, reachedCells } from './reached-cells.ts';
import { apply, type DerivedValue, derivedValue, withNote } from './value.ts';

const HIGHEST_IN_CELLS = [injectorDuty, injectorDutyAtFaultPressure, fuelVolumeFlow];

/**
 * The cells of every map set on the standard day or the coldest day that an operating point states: cold air is the
 * heaviest, so that is where the injector has most to do.
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

/** The cell where a value is highest. */
interface Worst {
  readonly cells: ReachedCells;
  readonly index: number;
  readonly value: DerivedValue;
}

/** The first of the reached cells where a value is highest. */
function highest(derivation: Derivation, definition: PointValue): Worst | undefined {
  let most = Number.NEGATIVE_INFINITY;
  let place: { cells: ReachedCells; index: number } | undefined;
  for (const cells of derivation.once(cellsOfEngines)) {
    const values = cells.values.get(definition)!;
    for (let index = 0; index < values.length; index++) {
      // What is not known is no number, and never greater.
      if (values[index]! > most) {
        most = values[index]!;
        place = { cells, index };
      }
    }
  }
  const value = place && pointAt(place.cells, place.index).get(definition);
  return value && { ...place!, value };
}

/** `at 5800 rpm, 175 kPa abs, map set tow`: the witness of a worst case. */
function witnessText({ cells: { engine, speeds, pressures }, index }: Worst): string {
  const set = engine.mapSet === undefined ? '' : `, map set ${engine.mapSet}`;
  return `at ${formatStated(speeds[index]!, 'rpm')}, ${formatStated(pressures[index]!, 'kPa abs')}${set}`;
}

/** A point value where the envelope makes it highest, placed at the injectors. */
function worstCase(id: string, label: string, definition: PointValue, fault: string): FileValue {
  return {
    id,
    label,
    derive(derivation) {
      const worst = highest(derivation, definition);
      const injectors = derivation.installation.configuration.fuel?.injectors;
      if (!worst || !injectors) return [];
      const note = `${witnessText(worst)}${fault}`;
      return [derivedValue({ id, label }, withNote(worst.value.result, note), nodeOf(injectors))];
    },
  };
}

export const worstInjectorDuty = worstCase(
  'injector_duty_worst_case',
  'Injector duty, worst case',
  injectorDuty,
  '',
);

export const worstInjectorDutyAtFaultPressure = worstCase(
  'injector_duty_worst_case_at_fault_pressure',
  'Injector duty, worst case at fault pressure',
  injectorDutyAtFaultPressure,
  ', rail at its fault pressure',
);

export const highestFuelFlow = worstCase('fuel_flow_worst_case', 'Fuel flow, worst case', fuelVolumeFlow, '');

export const pumpMargin: FileValue = {
  id: 'pump_margin',
  label: 'Pump margin over the highest fuel flow',
  derive(derivation) {
    const pump = derivation.installation.configuration.fuel?.rail?.pump_flow;
    const result = apply(physics.pumpMargin, { pumpFlow: pump, demand: derivation.one(highestFuelFlow) });
    return result ? [derivedValue(pumpMargin, result, nodeOf(pump!))] : [];
  },
};

/** What an injector flows at the rail's set pressure: for a fixed regulator, with the manifold at ambient pressure. */
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
