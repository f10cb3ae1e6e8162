import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { differInCellsOnly } from './alike.ts';
import { heldAt } from './cell.ts';
import { fuelEngine } from './core-engine.ts';
import { absoluteBreakpoints, highestManifoldPressure, SEA_LEVEL } from './full-load.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';

/**
 * The cells that an engine reaches at sea level: the breakpoints of the volumetric efficiency and lambda maps up to
 * maximum speed and up to the highest manifold pressure that can be commanded and supplied at that speed, including both
 * ends. There are hundreds per map set, so they are stored as numbers.
 */
export interface ReachedCells {
  readonly engine: Engine;
  /** From the standard day, in K. */
  readonly deviation: number;
  /** In rpm. */
  readonly speeds: Float64Array;
  /** Manifold pressures in Pa, absolute. */
  readonly pressures: Float64Array;
  /** The values of the two maps at each cell. */
  readonly filling: Float64Array;
  readonly lambda: Float64Array;
  /** Each value at each cell that may have the highest one; NaN at other cells, and where it is unknown. */
  readonly values: ReadonlyMap<PointValue, Float64Array>;
}

/**
 * The cells that an engine reaches on a day, with some values where they may be highest. Each of the values must rise with
 * the fuel burnt in a cell and with speed. Cells of the previous version that burn the same fuel are reused.
 */
export function reachedCells(
  engine: Engine,
  deviation: number,
  values: readonly PointValue[],
  before: ReachedCells | undefined,
): ReachedCells | undefined {
  const burning = fuelEngine(engine);
  const isSame = before?.engine === burning && before.deviation === deviation;
  return isSame ? before : cellsOf(burning, deviation, values, before);
}

/** The engine in one of its cells. */
export function pointAt(
  { engine, speeds, pressures, deviation }: ReachedCells,
  index: number,
): OperatingPoint {
  return heldAt(
    engine,
    engine.configuration.fuel!.volumetric_efficiency!.node,
    { canonical: speeds[index]! },
    { canonical: pressures[index]! },
    deviation,
  );
}

type MapName = 'volumetric_efficiency' | 'target_lambda';

function cellsOf(
  engine: Engine,
  deviation: number,
  definitions: readonly PointValue[],
  earlier: ReachedCells | undefined,
): ReachedCells | undefined {
  const { fuel } = engine.configuration;
  const filling = fuel?.volumetric_efficiency;
  if (!filling) return undefined;
  const known = earlier && isAlikeButForMaps(engine, deviation, earlier) ? earlier : undefined;
  const places = known ?? placesOf(engine, deviation);
  if (!places) return undefined;
  const { speeds, pressures } = places;
  // Values of an unchanged table at the same places are reused.
  const readAgain = (now: TableValue | undefined, name: MapName, before: 'filling' | 'lambda') =>
    known && known.engine.configuration.fuel?.[name] === now ? known[before] : readAt(now, speeds, pressures);
  const cells = {
    ...{ engine, deviation, speeds, pressures },
    filling: readAgain(filling, 'volumetric_efficiency', 'filling'),
    lambda: readAgain(fuel.target_lambda, 'target_lambda', 'lambda'),
    values: new Map(definitions.map((definition) => [definition, valuesOf(speeds.length)])),
  };
  const isOvertopped = overtopped(cells);
  for (let i = 0; i < speeds.length; i++) {
    if (isOvertopped[i]) continue;
    // A cell with unchanged volumetric efficiency and lambda burns the same fuel.
    const isSame = known && cells.filling[i] === known.filling[i] && cells.lambda[i] === known.lambda[i];
    let point: OperatingPoint | undefined;
    for (const [definition, values] of cells.values) {
      const last = isSame ? known.values.get(definition)![i]! : Number.NaN;
      if (!Number.isNaN(last)) {
        values[i] = last;
        continue;
      }
      point ??= pointAt(cells, i);
      values[i] = point.get(definition)?.canonical ?? Number.NaN;
    }
  }
  return cells;
}

const valuesOf = (cells: number): Float64Array => new Float64Array(cells).fill(Number.NaN);

/**
 * Which cells need not be derived because another one at the same pressure and a higher speed exceeds them. At one pressure
 * the fuel burnt is proportional to volumetric efficiency over lambda; if that is at least as much at the higher speed, so
 * is every value that rises with both.
 */
function overtopped({
  speeds,
  pressures,
  filling,
  lambda,
}: Omit<ReachedCells, 'engine' | 'deviation' | 'values'>): Uint8Array {
  const isOvertopped = new Uint8Array(speeds.length);
  const mostAt = new Map<number, number>();
  // Speeds are in ascending order.
  for (let i = speeds.length - 1; i >= 0; i--) {
    const richness = filling[i]! / lambda[i]!;
    const most = mostAt.get(pressures[i]!) ?? Number.NEGATIVE_INFINITY;
    if (richness > 0 && richness <= most) isOvertopped[i] = 1;
    else if (richness > most) mostAt.set(pressures[i]!, richness);
  }
  return isOvertopped;
}

/** Whether only numbers in the two maps differ, and neither their axes nor anything else. */
function isAlikeButForMaps(engine: Engine, deviation: number, earlier: ReachedCells): boolean {
  const { volumetric_efficiency: filling, target_lambda: lambda } = earlier.engine.configuration.fuel ?? {};
  const isRead = (table: TableValue) => table === filling || table === lambda;
  return deviation === earlier.deviation && differInCellsOnly(earlier.engine, engine, ['fuel'], isRead);
}

function placesOf(engine: Engine, deviation: number): Pick<ReachedCells, 'speeds' | 'pressures'> | undefined {
  const { fuel, engine: machine } = engine.configuration;
  const filling = fuel?.volumetric_efficiency;
  const maximum = machine?.maximum_speed?.canonical;
  if (!filling?.x || !filling.y || maximum === undefined) return undefined;
  const maps = [filling, fuel?.target_lambda].filter((map) => map !== undefined);
  const speeds: number[] = [];
  const pressures: number[] = [];
  for (const speed of upTo(
    maximum,
    maps.flatMap(({ x }) => x?.breakpoints ?? []),
  )) {
    const highest = highestManifoldPressure(engine, speed, deviation);
    if (highest === undefined) continue;
    for (const pressure of upTo(
      highest,
      maps.flatMap(({ y }) => absoluteBreakpoints(y)),
    )) {
      speeds.push(speed);
      pressures.push(pressure);
    }
  }
  return { speeds: Float64Array.from(speeds), pressures: Float64Array.from(pressures) };
}

/** The breakpoints below the end, and the end itself; each once, in ascending order. */
function upTo(end: number, breakpoints: readonly number[]): number[] {
  return [...new Set([...breakpoints.filter((point) => point < end), end])].sort((a, b) => a - b);
}

/** The value of a map over speed and manifold pressure at each place. */
function readAt(map: TableValue | undefined, speeds: Float64Array, pressures: Float64Array): Float64Array {
  const offset = map?.y?.reference === 'gauge' ? SEA_LEVEL : 0;
  const read = new Float64Array(speeds.length).fill(Number.NaN);
  for (let i = 0; map && i < read.length; i++)
    read[i] = lookUp(map, speeds[i]!, pressures[i]! - offset) ?? Number.NaN;
  return read;
}
