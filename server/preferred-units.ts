import { type DerivedValue, substitute } from '../shared/derived/value.ts';
import { type Dimension, formatUnit, splitUnit, type Unit } from '../shared/quantity/index.ts';

/** By dimension, the unit in which a reader likes to see derived values. */
export type PreferredUnits = ReadonlyMap<Dimension, Unit>;

export const NO_PREFERENCE: PreferredUnits = new Map();

/**
 * Dimensions that one unit serves throughout. A reader of inches still wants altitude in feet, so lengths, times and the
 * like keep the unit that each value has.
 */
const DIMENSIONS: ReadonlySet<Dimension> = new Set([
  'temperature',
  'pressure',
  'power',
  'torque',
  'density',
  'volume flow',
  'mass flow',
  'specific consumption',
]);

/** Units by their dimensions; of two for one dimension the last counts. */
export function preferredUnits(units: readonly Unit[]): PreferredUnits {
  const fit = units.filter(({ dimension }) => DIMENSIONS.has(dimension));
  return new Map(fit.map((unit) => [unit.dimension, unit]));
}

type Shown = Pick<DerivedValue, 'canonical' | 'show'>;

/** A derived value as its reader likes to see it. */
export function preferred({ canonical, show }: Shown, units: PreferredUnits): Shown {
  return { canonical, show: preferredUnit(show, units) };
}

/** The formula of a value with its numbers put in as its reader likes to see them. */
export function preferredWorking({ result }: DerivedValue, units: PreferredUnits): string {
  return substitute(result, ({ show, unit }) => preferredUnit(show ?? unit, units));
}

function preferredUnit(show: string, units: PreferredUnits): string {
  const own = splitUnit(show);
  const wanted = own && units.get(own.unit.dimension);
  // A number of kelvin may be a difference, which has no place on a scale.
  return !own || !wanted || own.unit.symbol === 'K' ? show : formatUnit(wanted, own.reference);
}
