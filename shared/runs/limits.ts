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
import { type LimitSum, LimitWatch, type Reading } from './limit-watch.ts';
import type { RowPlaces } from './row-places.ts';

/** Every limit of an engine that a logged quantity can come close to. */
export function watchesOf({ configuration }: Engine, columns: Columns, places: RowPlaces): LimitWatch[] {
  return watchedLimits(configuration).map((limit) => watchOf(limit, configuration, columns, places));
}

/** The levels of an engine's limits. */
export const watchedLimits = (configuration: EngineConfiguration): WatchedLimit[] => [
  ...limitsOf(configuration).flatMap(levelsOf),
  ...fixedLimits(configuration),
];

/** One level of a limit. */
interface WatchedLimit {
  /** Key path. */
  readonly at: string;
  readonly quantity: string;
  readonly direction: 'above' | 'below';
  readonly threshold: Threshold;
  readonly light: LimitSum['light'];
  readonly hysteresis: number;
  readonly delay: number;
}

const keyPath = (node: Node): string => pathText(pathOf(node));

function levelsOf({ section, watches, direction, caution, warning }: Limit): WatchedLimit[] {
  const drivesLight = section.action?.items.some(({ text }) => text === 'light') ?? false;
  return (['caution', 'warning'] as const).flatMap((level) => {
    const threshold = { caution, warning }[level];
    if (!threshold) return [];
    return {
      at: keyPath(nodeOf(threshold)),
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
      ? [
          {
            at: keyPath(threshold.node),
            quantity,
            direction,
            threshold,
            light: undefined,
            hysteresis: 0,
            delay: 0,
          },
        ]
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
  { at, quantity, direction, threshold, light, hysteresis, delay }: WatchedLimit,
  configuration: EngineConfiguration,
  columns: Columns,
  places: RowPlaces,
): LimitWatch {
  const unit = unitOf(threshold);
  const value = readingOf(quantity, direction, referenceOf(threshold), unit, configuration, columns, places);
  const axis = threshold.type === 'table' ? threshold.x : undefined;
  const along =
    axis && readingOf(axis.quantity, direction, axis.reference, axis.unit, configuration, columns, places);
  const level = along
    ? (row: Float64Array) => {
        const x = along.read(row);
        return Number.isNaN(x) ? x : (thresholdAt(threshold, x) ?? Number.NaN);
      }
    : () => thresholdAt(threshold, undefined) ?? Number.NaN;
  const isLogged = value !== undefined && (axis === undefined || along !== undefined);
  const sum: LimitSum = {
    ...{ at, quantity, unit, direction, light },
    ...{ isLogged, closest: undefined, lit: [], litCount: 0 },
  };
  const fixed = threshold.type === 'quantity' ? threshold.canonical : Number.NaN;
  return new LimitWatch(sum, hysteresis, delay, value ?? UNKNOWN, level, fixed);
}

const UNKNOWN: Reading = { place: -1, read: () => Number.NaN, inColumn: () => Number.NaN };

/**
 * Reads a quantity of a row in the pressure reference and the dimension of a limit. Of several numbered columns, the one
 * nearest to the limit counts. Undefined if it is not logged in a form that can be compared.
 */
function readingOf(
  quantity: string,
  direction: 'above' | 'below',
  reference: PressureReference | undefined,
  unit: string,
  configuration: EngineConfiguration,
  columns: Columns,
  places: RowPlaces,
): Reading | undefined {
  const name = measuredQuantity(quantity)?.index === undefined ? quantity : undefined;
  const found = name === undefined ? [columns.place(quantity)] : columns.places(quantity);
  const known = found
    .filter((place) => place >= 0)
    .flatMap((place) => columnReading(place, reference, unit, configuration, columns, places) ?? []);
  const [first, ...others] = known;
  if (!first) return quantity === 'propeller_speed' ? ofEngineSpeed(configuration, columns) : undefined;
  if (others.length === 0) return first;
  return {
    ...first,
    place: -1,
    read(row) {
      let most = Number.NaN;
      for (const one of known) {
        const value = one.read(row);
        if (Number.isNaN(value)) continue;
        if (Number.isNaN(most) || (direction === 'above' ? value > most : value < most)) most = value;
      }
      return most;
    },
  };
}

/** The propeller turns with the crankshaft. */
function ofEngineSpeed(configuration: EngineConfiguration, columns: Columns): Reading | undefined {
  const place = columns.place('engine_speed');
  const ratio = reductionRatio(configuration)?.canonical;
  if (place < 0 || ratio === undefined) return undefined;
  return { place: -1, read: (row) => row[place]! / ratio, inColumn: (value) => value * ratio };
}

/** The rows hold the columns as they are logged. */
function columnReading(
  place: number,
  reference: PressureReference | undefined,
  unit: string,
  configuration: EngineConfiguration,
  { all }: Columns,
  { ambient, density }: RowPlaces,
): Reading | undefined {
  const column = all[place]!;
  if (column.reference !== undefined && reference !== undefined && column.reference !== reference) {
    const both = [column.reference, reference];
    if (!both.includes('absolute') || !both.includes('gauge')) return undefined;
    const sign = reference === 'absolute' ? 1 : -1;
    return {
      place: -1,
      read: (row) => row[place]! + sign * row[ambient]!,
      inColumn: (value, row) => value - sign * row[ambient]!,
    };
  }
  const isVolume = splitUnit(unit)?.unit.dimension === 'volume flow';
  if (column.quantity === 'fuel_flow' && isVolume !== column.isVolume) {
    if (fuelDensity(configuration) === undefined) return undefined;
    const byDensity = (value: number, row: Float64Array) => value / row[density]!;
    const timesDensity = (value: number, row: Float64Array) => value * row[density]!;
    const [there, back] = isVolume ? [byDensity, timesDensity] : [timesDensity, byDensity];
    return { place: -1, read: (row) => there(row[place]!, row), inColumn: back };
  }
  return { place, read: (row) => row[place]!, inColumn: (value) => value };
}
