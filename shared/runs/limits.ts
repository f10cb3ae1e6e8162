import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import { nodeOf, type QuantityValue, type RangeValue } from '../configuration/values.ts';
import { fuelDensity } from '../derived/fuel.ts';
import { reductionRatio } from '../derived/propeller.ts';
import {
  type Limit,
  limitsOf,
  referenceOf,
  type Threshold,
  thresholdAt,
  unitOf,
} from '../derived/protection.ts';
import { measuredQuantity, splitUnit } from '../quantity/index.ts';
import type { PressureReference } from '../quantity/kinds.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';
import type { Columns } from './columns.ts';
import { type LimitSum, LimitWatch } from './limit-watch.ts';

/** Where a row holds what is not a column: in canonical units. */
export interface RowPlaces {
  /** Ambient pressure. */
  readonly ambient: number;
}

type Reader = (row: Float64Array) => number;

const UNKNOWN: Reader = () => Number.NaN;

/** Every limit of an engine that a logged quantity can come close to. */
export function watchesOf({ configuration }: Engine, columns: Columns, places: RowPlaces): LimitWatch[] {
  const of = (limit: WatchedLimit) => watchOf(limit, configuration, columns, places);
  return [...limitsOf(configuration).flatMap(levelsOf).map(of), ...fixedLimits(configuration).map(of)];
}

interface WatchedLimit {
  readonly node: Node;
  readonly quantity: string;
  readonly direction: 'above' | 'below';
  readonly threshold: Threshold;
  readonly light: LimitSum['light'];
  readonly hysteresis: number;
  readonly delay: number;
}

function levelsOf({ section, watches, direction, caution, warning }: Limit): WatchedLimit[] {
  const drivesLight = section.action?.items.some(({ text }) => text === 'light') ?? false;
  return (['caution', 'warning'] as const).flatMap((level) => {
    const threshold = { caution, warning }[level];
    if (!threshold) return [];
    return {
      node: nodeOf(threshold),
      quantity: watches,
      direction,
      threshold,
      light: drivesLight ? level : undefined,
      hysteresis: section.hysteresis?.canonical ?? 0,
      delay: section.delay?.canonical ?? 0,
    };
  });
}

/** The ratings of the engine and its parts. */
function fixedLimits({ engine, boost, fuel, propeller, ignition }: EngineConfiguration): WatchedLimit[] {
  const one = (
    quantity: string,
    direction: WatchedLimit['direction'],
    threshold: QuantityValue | undefined,
  ): WatchedLimit[] =>
    threshold
      ? [{ node: threshold.node, quantity, direction, threshold, light: undefined, hysteresis: 0, delay: 0 }]
      : [];
  const range = (quantity: string, found: RangeValue | undefined): WatchedLimit[] =>
    (['below', 'above'] as const).flatMap((direction) => {
      if (!found) return [];
      const quantityValue = direction === 'below' ? found.low : found.high;
      const { node, kind } = found;
      return one(quantity, direction, {
        type: 'quantity',
        node,
        kind,
        quantity: quantityValue,
        canonical: quantityValue.canonical,
      });
    });
  return [
    ...one('engine_speed', 'above', engine?.maximum_speed),
    ...one('manifold_pressure', 'above', boost?.overboost_cut),
    ...one('injector_duty', 'above', fuel?.injectors?.maximum_duty),
    ...one('injector_pulse_width', 'below', fuel?.injectors?.minimum_pulse),
    ...one('propeller_speed', 'above', propeller?.maximum_speed),
    ...range('ignition_advance', ignition?.advance_range),
  ];
}

function watchOf(
  { node, quantity, direction, threshold, light, hysteresis, delay }: WatchedLimit,
  configuration: EngineConfiguration,
  columns: Columns,
  places: RowPlaces,
): LimitWatch {
  const unit = unitOf(threshold);
  const value = readerOf(quantity, direction, referenceOf(threshold), unit, configuration, columns, places);
  const axis = threshold.type === 'table' ? threshold.x : undefined;
  const along =
    axis && readerOf(axis.quantity, direction, axis.reference, axis.unit, configuration, columns, places);
  const level: Reader = along
    ? (row) => {
        const x = along(row);
        return Number.isNaN(x) ? x : (thresholdAt(threshold, x) ?? Number.NaN);
      }
    : () => thresholdAt(threshold, undefined) ?? Number.NaN;
  const sum: LimitSum = {
    ...{ at: pathText(pathOf(node)), quantity, unit, direction, light },
    ...{ isLogged: value !== UNKNOWN && along !== UNKNOWN, closest: undefined, lit: [], litCount: 0 },
  };
  const fixed = threshold.type === 'quantity' ? threshold.canonical : Number.NaN;
  return new LimitWatch(sum, hysteresis, delay, value, level, plainPlaces.get(value) ?? -1, fixed);
}

/**
 * Reads a quantity of a row in the pressure reference and the dimension of a limit. Of several numbered columns, the one
 * nearest to the limit counts.
 */
function readerOf(
  quantity: string,
  direction: 'above' | 'below',
  reference: PressureReference | undefined,
  unit: string,
  configuration: EngineConfiguration,
  columns: Columns,
  places: RowPlaces,
): Reader {
  const name = measuredQuantity(quantity)?.index === undefined ? quantity : undefined;
  const found = name === undefined ? [columns.place(quantity)] : columns.places(quantity);
  const readers = found
    .filter((place) => place >= 0)
    .map((place) => columnReader(place, reference, unit, configuration, columns, places));
  const known = readers.filter((reader) => reader !== UNKNOWN);
  const [first, ...others] = known;
  if (!first) return quantity === 'propeller_speed' ? ofEngineSpeed(configuration, columns) : UNKNOWN;
  if (others.length === 0) return first;
  return (row) => {
    let most = Number.NaN;
    for (const read of known) {
      const value = read(row);
      if (Number.isNaN(value)) continue;
      if (Number.isNaN(most) || (direction === 'above' ? value > most : value < most)) most = value;
    }
    return most;
  };
}

/** The propeller turns with the crankshaft. */
function ofEngineSpeed(configuration: EngineConfiguration, columns: Columns): Reader {
  const place = columns.place('engine_speed');
  const ratio = reductionRatio(configuration)?.canonical;
  return place < 0 || ratio === undefined ? UNKNOWN : (row) => row[place]! / ratio;
}

function columnReader(
  place: number,
  reference: PressureReference | undefined,
  unit: string,
  configuration: EngineConfiguration,
  columns: Columns,
  { ambient }: RowPlaces,
): Reader {
  const column = columns.all[place]!;
  if (column.reference !== undefined && reference !== undefined && column.reference !== reference) {
    if (column.reference === 'absolute' && reference === 'gauge') return (row) => row[place]! - row[ambient]!;
    if (column.reference === 'gauge' && reference === 'absolute') return (row) => row[place]! + row[ambient]!;
    return UNKNOWN;
  }
  if (column.quantity === 'fuel_flow') {
    const isVolume = splitUnit(unit)?.unit.dimension === 'volume flow';
    // The rows hold a fuel flow by mass.
    const density = fuelDensity(configuration)?.canonical;
    if (isVolume) return density === undefined ? UNKNOWN : (row) => row[place]! / density;
  }
  const read: Reader = (row) => row[place]!;
  plainPlaces.set(read, place);
  return read;
}

/** The columns of readers that do nothing but read one, which a million rows read faster without a call. */
const plainPlaces = new WeakMap<Reader, number>();
