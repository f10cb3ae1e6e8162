import { formatNumber, formatQuantity, toUnit } from '../quantity/index.ts';
import type { Bound } from './bound.ts';
import { type Envelope, VARIABLES } from './envelope.ts';
import { BOUND_DIGITS, boundText, stateWords, toleranceWords, UNITS, type Witnessed } from './witness.ts';

/**
 * The state of a bound without its map set, for faces without code style: `5800 rpm, 147 kPa abs, 12000 ft, ISA −20 K,
 * coolant 60 °C, 10.5 V, fuel.density at the low end of its tolerance`.
 */
export const witnessText = (bound: Omit<Witnessed, 'mapSet'>): string =>
  [stateWords(bound), toleranceWords(bound.atTolerance)].filter(Boolean).join(', ');

/** `≤ 71.3 %`; of a lower bound `≥ 1.204 ms` */
export const signedBound = (bound: Pick<Bound, 'bound' | 'show' | 'side'>, digits = BOUND_DIGITS): string =>
  `${bound.side === 'high' ? '≤' : '≥'} ${boundText(bound, digits)}`;

/** `rail at fault pressure`, `coolant_temperature failed` */
export const faultText = (fault: string): string =>
  fault === 'fault_pressure' ? 'rail at fault pressure' : `${fault.replace(/^sensors\./, '')} failed`;

/** `map set climb, coolant_temperature failed`; empty without a map set and a fault. */
export function situationText({ mapSet, fault }: Pick<Bound, 'mapSet' | 'fault'>): string {
  return [mapSet && `map set ${mapSet}`, fault && faultText(fault)].filter(Boolean).join(', ');
}

/**
 * The situations of bounds that are alike: `map set climb; also coolant_temperature failed`. Without a map set and a
 * fault: `no fault`.
 */
export function situationsText(bounds: readonly Pick<Bound, 'mapSet' | 'fault'>[]): string {
  const [first, ...others] = bounds;
  const also = others.flatMap(({ fault }) => (fault === undefined ? [] : `also ${faultText(fault)}`));
  return [situationText(first!) || 'no fault', ...also].join('; ');
}

/** Why a file has no bounds. */
export const NO_ENVELOPE =
  'No bounds can be computed: the file has no speed range, no volumetric efficiency map, or no limit on manifold pressure.';

/** The ranges of an envelope by the keys of the section: `speed`, `1200 to 5800 rpm`. */
export function envelopeTexts({
  ranges,
  lowestPressure,
  overshoot,
}: Envelope): [key: string, text: string][] {
  const numberIn = (canonical: number, unit: string) =>
    formatNumber(toUnit(canonical, unit), BOUND_DIGITS).replace('-', '−');
  return [
    ...VARIABLES.map((name): [string, string] => {
      const unit = UNITS[name];
      if (name === 'manifold_pressure') return [name, `from ${numberIn(lowestPressure, unit)} ${unit}`];
      const { low, high } = ranges[name];
      const text = low === high ? numberIn(low, unit) : `${numberIn(low, unit)} to ${numberIn(high, unit)}`;
      return [name, `${text} ${unit}`];
    }),
    ['overshoot', formatQuantity(overshoot.canonical, 'kPa', BOUND_DIGITS)],
  ];
}
