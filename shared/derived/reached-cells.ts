import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { differInCellsOnly } from './alike.ts';
import { heldAt } from './cell.ts';
import { burningEngine } from './core-engine.ts';
import { absoluteBreakpoints, highestManifoldPressure, SEA_LEVEL } from './full-load.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';

/**
 * The cells that the operating envelope of an engine reaches: the breakpoints of the filling and mixture maps up to
 * maximum speed and up to the highest manifold pressure that can be commanded and supplied at that speed, with both of
 * those ends themselves. At sea level. There are hundreds in each map set, so they are kept as numbers.
 */
export interface ReachedCells {
  readonly engine: Engine;
  /** From the standard day, in K. */
  readonly deviation: number;
  /** In rpm. */
  readonly speeds: Float64Array;
  /** Manifold pressures in Pa, absolute. */
  readonly pressures: Float64Array;
  /** What the two maps hold at each cell. */
  readonly filling: Float64Array;
  readonly lambda: Float64Array;
  /** Each of the values at each cell that may hold the highest; not a number at the others, and where it is not known. */
  readonly values: ReadonlyMap<PointValue, Float64Array>;
}

/**
 * The cells that an engine reaches on a day, with some values where they may be highest. Each of the values follows from the
 * fuel burnt in a cell and rises with it and with speed. The cells of the version before spare deriving those again that
 * burn what they did.
 */
export function reachedCells(
  engine: Engine,
  deviation: number,
  values: readonly PointValue[],
  before: ReachedCells | undefined,
): ReachedCells | undefined {
  const burning = burningEngine(engine);
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
  // What stands in the same table at the same places is what it was.
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
    // A cell whose filling and mixture did not change burns what it did.
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
 * Which cells are overtopped by another at the same pressure and a higher speed. The charge is the same there, so what is
 * burnt goes with filling over lambda; where that is no less at the higher speed, whatever rises with both is higher.
 */
function overtopped({
  speeds,
  pressures,
  filling,
  lambda,
}: Omit<ReachedCells, 'engine' | 'deviation' | 'values'>): Uint8Array {
  const isOvertopped = new Uint8Array(speeds.length);
  const mostAt = new Map<number, number>();
  // Speeds rise from cell to cell.
  for (let i = speeds.length - 1; i >= 0; i--) {
    const richness = filling[i]! / lambda[i]!;
    const most = mostAt.get(pressures[i]!) ?? Number.NEGATIVE_INFINITY;
    if (richness > 0 && richness <= most) isOvertopped[i] = 1;
    else if (richness > most) mostAt.set(pressures[i]!, richness);
  }
  return isOvertopped;
}

/** The maps may hold other numbers; all else, their axes too, is what it was. */
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

/** The breakpoints up to the end, and the end itself; each once, rising. */
function upTo(end: number, breakpoints: readonly number[]): number[] {
  return [...new Set([...breakpoints.filter((point) => point < end), end])].sort((a, b) => a - b);
}

/** What a map over speed and manifold pressure holds at each place. */
function readAt(map: TableValue | undefined, speeds: Float64Array, pressures: Float64Array): Float64Array {
  const offset = map?.y?.reference === 'gauge' ? SEA_LEVEL : 0;
  const read = new Float64Array(speeds.length).fill(Number.NaN);
  for (let i = 0; map && i < read.length; i++)
    read[i] = lookUp(map, speeds[i]!, pressures[i]! - offset) ?? Number.NaN;
  return read;
}
