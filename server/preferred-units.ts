import { type DerivedValue, substitute } from '../shared/derived/value.ts';
import { type Dimension, formatUnit, splitUnit, type Unit } from '../shared/quantity/index.ts';

/** By dimension, the unit that the user prefers for derived values. */
export type PreferredUnits = ReadonlyMap<Dimension, Unit>;

export const NO_PREFERENCE: PreferredUnits = new Map();

/**
 * Dimensions for which one unit fits all values. Lengths and times, for example, keep the unit of each value: a bore in
 * inches does not make an altitude in inches.
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

/** Units by their dimensions; the last one of a dimension counts. */
export function preferredUnits(units: readonly Unit[]): PreferredUnits {
  const fit = units.filter(({ dimension }) => DIMENSIONS.has(dimension));
  return new Map(fit.map((unit) => [unit.dimension, unit]));
}

type Shown = Pick<DerivedValue, 'canonical' | 'show'>;

/** A derived value in the preferred unit. */
export function preferred({ canonical, show }: Shown, units: PreferredUnits): Shown {
  return { canonical, show: preferredUnit(show, units) };
}

/** The formula of a value with its numbers in the preferred units. */
export function preferredWorking({ result }: DerivedValue, units: PreferredUnits): string {
  return substitute(result, ({ show, unit }) => preferredUnit(show ?? unit, units));
}

function preferredUnit(show: string, units: PreferredUnits): string {
  const own = splitUnit(show);
  const wanted = own && units.get(own.unit.dimension);
  // Kelvins may be a temperature difference, which cannot be converted to a temperature scale.
  return !own || !wanted || own.unit.symbol === 'K' ? show : formatUnit(wanted, own.reference);
}
