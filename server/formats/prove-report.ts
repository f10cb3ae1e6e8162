import type { JudgedBound } from '../../shared/limits/verdict.ts';
import type { Bound } from '../../shared/proof/bound.ts';
import { type Envelope, VARIABLES, type Variable } from '../../shared/proof/envelope.ts';
import { formatNumber, formatQuantity, splitUnit, toUnit } from '../../shared/quantity/index.ts';

/** The bounds of some files. */
export interface ProveReport {
  readonly files: readonly ProvedFile[];
}

export interface ProvedFile {
  readonly name: string;
  /** Undefined if it is unknown. */
  readonly envelope: Envelope | undefined;
  readonly bounds: readonly JudgedBound[];
  readonly seconds: number;
}

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
export function witnessTexts({ witness, mapSet }: Bound): Record<string, string> {
  const texts = VARIABLES.map((name) => {
    const number = Number(toUnit(witness[name], UNITS[name]).toPrecision(DIGITS));
    return [name, `${number} ${UNITS[name]}`];
  });
  return { ...Object.fromEntries(texts), ...(mapSet !== undefined && { map_set: mapSet }) };
}

/** Significant digits of a bound, of what is reached, and of the limit: read together, they have the same count. */
export const BOUND_DIGITS = 4;

/** A bound in the unit for readers, rounded outward: no state passes the printed number either. */
export function boundText({ bound, show, side }: Pick<Bound, 'bound' | 'show' | 'side'>): string {
  const unit = splitUnit(show)?.unit;
  const number = unit ? toUnit(bound, unit) : bound;
  if (!Number.isFinite(number) || number === 0) return formatQuantity(bound, show);
  const step = 10 ** (Math.floor(Math.log10(Math.abs(number))) - BOUND_DIGITS + 1);
  const rounded = (side === 'high' ? Math.ceil(number / step) : Math.floor(number / step)) * step;
  return `${formatNumber(rounded, BOUND_DIGITS)} ${show}`.trimEnd();
}
