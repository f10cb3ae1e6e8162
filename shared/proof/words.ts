import { formatNumber, formatQuantity, splitUnit, toUnit } from '../quantity/index.ts';
import type { Bound } from './bound.ts';
import { type Envelope, VARIABLES, type Variable } from './envelope.ts';

/** The units in which an operating point states a state. */
const UNITS: Readonly<Record<Variable, string>> = {
  speed: 'rpm',
  throttle: '%',
  manifold_pressure: 'kPa abs',
  pressure_altitude: 'ft',
  isa_deviation: 'K',
  coolant_temperature: '°C',
  battery_voltage: 'V',
};

/** Enough digits for the state to give the same values again. */
const DIGITS = 8;

/** A state as the keys of an operating point would state it. */
export function witnessTexts({ witness, mapSet }: Pick<Bound, 'witness' | 'mapSet'>): Record<string, string> {
  const texts = VARIABLES.map((name) => {
    const number = Number(toUnit(witness[name], UNITS[name]).toPrecision(DIGITS));
    return [name, `${number} ${UNITS[name]}`];
  });
  return { ...Object.fromEntries(texts), ...(mapSet !== undefined && { map_set: mapSet }) };
}

/** The state for readers: `5800 rpm, throttle 100 %, 147.3 kPa abs, 12000 ft, ISA −35 K, coolant 60 °C, 10.5 V`. */
export function witnessText({ witness }: Pick<Bound, 'witness'>): string {
  return VARIABLES.map((name) => {
    const number = formatNumber(toUnit(witness[name], UNITS[name]), BOUND_DIGITS).replace('-', '−');
    return `${NAMES[name] ?? ''}${number} ${UNITS[name]}`;
  }).join(', ');
}

/** The variables whose unit alone does not name them. */
const NAMES: Partial<Record<Variable, string>> = {
  throttle: 'throttle ',
  isa_deviation: 'ISA ',
  coolant_temperature: 'coolant ',
};

/** Significant digits of a bound, of what is reached, and of the limit: read together, they have the same count. */
export const BOUND_DIGITS = 4;

/** A bound in the unit for readers, rounded outward: no state passes the printed number either. */
export function boundText(
  { bound, show, side }: Pick<Bound, 'bound' | 'show' | 'side'>,
  digits = BOUND_DIGITS,
): string {
  const unit = splitUnit(show)?.unit;
  const number = unit ? toUnit(bound, unit) : bound;
  if (!Number.isFinite(number) || number === 0) return formatQuantity(bound, show);
  const step = 10 ** (Math.floor(Math.log10(Math.abs(number))) - digits + 1);
  const rounded = (side === 'high' ? Math.ceil(number / step) : Math.floor(number / step)) * step;
  return `${formatNumber(rounded, digits)} ${show}`.trimEnd();
}

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
