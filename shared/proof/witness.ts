import { formatNumber, formatQuantity, splitUnit, toUnit } from '../quantity/index.ts';
import type { AtTolerance, Bound } from './bound.ts';
import { VARIABLES, type Variable } from './envelope.ts';

/** The units in which an operating point states a state. */
export const UNITS: Readonly<Record<Variable, string>> = {
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

/** What the words for a witness need. */
export type Witnessed = Pick<Bound, 'witness' | 'mapSet' | 'variables' | 'atTolerance'>;

/** How a state is described in a sentence, variable by variable. */
const WORDS: Readonly<Record<Variable, (text: string) => string>> = {
  speed: (text) => text,
  throttle: (text) => `${text} throttle`,
  manifold_pressure: (text) => text,
  pressure_altitude: (text) => text,
  isa_deviation: (text) => (text === '0 K' ? 'ISA' : `ISA ${text.startsWith('−') ? '' : '+'}${text}`),
  coolant_temperature: (text) => `coolant ${text}`,
  battery_voltage: (text) => text,
};

/** More are counted, not named. */
const MOST_NAMED = 2;

/** `fuel.injectors.static_flow at the low end of its tolerance`, or how many there are; empty if there are none. */
export function toleranceWords(some: readonly AtTolerance[], named = (at: string) => at): string {
  if (some.length > MOST_NAMED) return `${some.length} numbers at the ends of their tolerances`;
  return some.map(({ at, end }) => `${named(at)} at the ${end} end of its tolerance`).join(', ');
}

/**
 * ``5800 rpm, 147 kPa abs, −1000 ft, ISA −20 K, coolant 60 °C, 10.5 V, map set `tow` ``: the witness of a bound, as far
 * as the value depends on it, and what is at an end of its tolerance.
 */
export function witnessWords({ mapSet, ...of }: Witnessed, named?: readonly Variable[]): string {
  const set = mapSet === undefined ? '' : `map set \`${mapSet}\``;
  const tolerances = toleranceWords(of.atTolerance, (at) => `\`${at}\``);
  return [stateWords(of, named), set, tolerances].filter(Boolean).join(', ');
}

/** The state alone: `5800 rpm, 147 kPa abs`. */
export function stateWords(
  { witness, variables }: Pick<Bound, 'witness' | 'variables'>,
  named: readonly Variable[] = variables,
): string {
  return named
    .map((name) => WORDS[name](formatQuantity(witness[name], UNITS[name]).replace('-', '−')))
    .join(', ');
}
