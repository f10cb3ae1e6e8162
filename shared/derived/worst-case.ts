import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import { type Axis, nodeOf, type TableValue } from '../configuration/values.ts';
import { ambientPressure } from '../physics/atmosphere.ts';
import * as physics from '../physics/injector.ts';
import { formatQuantity } from '../quantity/index.ts';
import { heldAt } from './cell.ts';
import { availableManifoldPressure, intakeLoss } from './charge-air.ts';
import { perEngine } from './core-engine.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { fuelVolumeFlow, injectorDuty, injectorDutyAtFaultPressure, injectorFlow } from './fuel.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { apply, type DerivedValue, derivedValue, withNote } from './value.ts';

/** One state that the engine can be brought to. */
export interface Reached {
  readonly engine: Engine;
  readonly point: OperatingPoint;
  readonly speed: number;
  readonly manifoldPressure: number;
}

/**
 * Every cell that the operating envelope reaches, in every map set: the breakpoints of the filling and mixture maps up to
 * maximum speed and up to the highest manifold pressure that can be commanded and supplied at that speed, with both of those
 * ends themselves. At sea level, on the standard day or the coldest day that an operating point states: cold air is
 * the heaviest, so that is where the injector has most to do.
 */
export function reachedCells(derivation: Derivation): readonly Reached[] {
  return derivation.once(cellsOfAll);
}

const cellsOfAll = (derivation: Derivation): Reached[] => cellsOfEngines(derivation).flat();

function cellsOfEngines({ points, installation }: Derivation): (readonly Reached[])[] {
  const deviation = points.reduce(
    (least, { conditions }) => Math.min(least, conditions.isaDeviation.canonical),
    0,
  );
  return installation.selectable.map((engine) => cellsByDeviation(engine)(deviation));
}

/** Sea level of the standard atmosphere, in Pa. */
export const SEA_LEVEL = ambientPressure({ altitude: 0 });

/** The cells of an engine by deviation from the standard day; an installation has one coldest day, so one is kept. */
const cellsByDeviation = perEngine((engine) => {
  let last: { deviation: number; cells: Reached[] } | undefined;
  return (deviation: number) => {
    if (last?.deviation !== deviation) last = { deviation, cells: cellsOf(engine, deviation) };
    return last.cells;
  };
});

function cellsOf(engine: Engine, isaDeviation: number): Reached[] {
  const { fuel, engine: machine } = engine.configuration;
  const filling = fuel?.volumetric_efficiency;
  const maximum = machine?.maximum_speed?.canonical;
  if (!filling?.x || !filling.y || maximum === undefined) return [];
  const maps = [filling, fuel?.target_lambda].filter((map) => map !== undefined);
  const speeds = upTo(
    maximum,
    maps.flatMap(({ x }) => x?.breakpoints ?? []),
  );
  return speeds.flatMap((speed) => {
    const highest = highestManifoldPressure(engine, speed, isaDeviation);
    if (highest === undefined) return [];
    return upTo(
      highest,
      maps.flatMap(({ y }) => absoluteBreakpoints(y)),
    ).map((manifoldPressure) => ({
      engine,
      speed,
      manifoldPressure,
      point: heldAt(
        engine,
        filling.node,
        { canonical: speed },
        { canonical: manifoldPressure },
        isaDeviation,
      ),
    }));
  });
}

/** The rows of the filling map, in Pa absolute at sea level, that the engine can be brought to at a speed (rpm). */
export function reachedPressures(engine: Engine, speed: number): number[] {
  const highest = highestManifoldPressure(engine, speed);
  const rows = absoluteBreakpoints(engine.configuration.fuel?.volumetric_efficiency?.y);
  return rows.filter((pressure) => highest === undefined || pressure <= highest);
}

/** The breakpoints up to the end, and the end itself; each once, rising. */
function upTo(end: number, breakpoints: readonly number[]): number[] {
  return [...new Set([...breakpoints.filter((point) => point < end), end])].sort((a, b) => a - b);
}

/** An axis's manifold pressures in Pa absolute, those in gauge pressure at sea level. */
export function absoluteBreakpoints(axis: Axis | undefined): readonly number[] {
  const offset = axis?.reference === 'gauge' ? SEA_LEVEL : 0;
  return axis?.breakpoints.map((point) => point + offset) ?? [];
}

/** The highest manifold pressure (Pa, absolute) that the engine can be brought to at a speed (rpm), at sea level. */
export function highestManifoldPressure(engine: Engine, speed: number, isaDeviation = 0): number | undefined {
  const { boost } = engine.configuration;
  if (!boost) return SEA_LEVEL - intakeLoss(engine.configuration).canonical;
  const target = boost.target && highestTarget(boost.target, speed);
  if (target === undefined) return undefined;
  const probe = heldAt(engine, boost.target!.node, { canonical: speed }, { canonical: target }, isaDeviation);
  const available = probe.get(availableManifoldPressure)?.canonical;
  return available === undefined ? target : Math.min(target, available);
}

/** The highest target at a speed over every throttle position, as absolute pressure at sea level. */
function highestTarget(target: TableValue, speed: number): number | undefined {
  if (!target.cells || !target.y) return undefined;
  const offset = target.reference === 'gauge' ? SEA_LEVEL : 0;
  const along = target.y.breakpoints.map((throttle) => lookUp(target, speed, throttle)!);
  return Math.max(...along) + offset;
}

interface Worst extends Reached {
  readonly value: DerivedValue;
}

/** The reached cell where a value is highest. */
function highest(derivation: Derivation, definition: PointValue): Worst | undefined {
  const ofEngines = cellsOfEngines(derivation).map((cells) => highestOf(cells, definition));
  return greater(ofEngines);
}

/** The cells of an engine outlive a keystroke that does not touch it. */
const highestIn = new WeakMap<readonly Reached[], Map<PointValue, Worst | undefined>>();

function highestOf(cells: readonly Reached[], definition: PointValue): Worst | undefined {
  const known = highestIn.get(cells) ?? new Map<PointValue, Worst | undefined>();
  highestIn.set(cells, known);
  if (!known.has(definition)) {
    const values = cells.map((cell): Worst | undefined => {
      const value = cell.point.get(definition);
      return value && { ...cell, value };
    });
    known.set(definition, greater(values));
  }
  return known.get(definition);
}

/** The first of the greatest. */
function greater(all: readonly (Worst | undefined)[]): Worst | undefined {
  return all.reduce((worst, one) => {
    const most = worst?.value.canonical ?? Number.NEGATIVE_INFINITY;
    return one && one.value.canonical > most ? one : worst;
  }, undefined);
}

/** `at 5800 rpm, 175 kPa abs, map set tow`: the witness of a worst case. */
export function witnessText({ engine, speed, manifoldPressure }: Reached): string {
  const set = engine.mapSet === undefined ? '' : `, map set ${engine.mapSet}`;
  return `at ${formatQuantity(speed, 'rpm')}, ${formatQuantity(manifoldPressure, 'kPa abs')}${set}`;
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
