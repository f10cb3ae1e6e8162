import { type Formula, formula } from './formula.ts';
import type { SourceKey } from './sources.ts';
import {
  type Polynomial,
  type ReferencePiece,
  type ThermocoupleType,
  thermocoupleReferences,
} from './thermocouple-coefficients.ts';

export type { ThermocoupleType } from './thermocouple-coefficients.ts';

/** The source of every function here, for whoever shows it. */
export const thermocoupleSource = 'nist-monograph-175' satisfies SourceKey;

const ICE_POINT = 273.15;
/** Tolerance at a limit, °C: 1273.15 K − 273.15 K is not exactly 1000 in binary. */
const ROUNDING = 1e-9;

/**
 * Range of the reference function of a type, K: K 3.15..1645.15, J 63.15..1473.15, T 3.15..673.15, E
 * 3.15..1273.15, N 3.15..1573.15. Source: NIST Monograph 175.
 */
export function thermocoupleRange(type: ThermocoupleType): readonly [low: number, high: number] {
  const { pieces } = thermocoupleReferences[type];
  return [pieces[0]!.from + ICE_POINT, pieces.at(-1)!.to + ICE_POINT];
}

/**
 * Thermoelectric voltage (V) of a junction at `temperature` (K) against a reference junction at 0 °C;
 * `undefined` outside `thermocoupleRange`, where the polynomials do not hold. Source: NIST Monograph 175.
 */
export function thermocoupleVoltage(type: ThermocoupleType, temperature: number): number | undefined {
  const celsius = temperature - ICE_POINT;
  const piece = pieceAt(type, celsius);
  return piece && millivolts(piece, celsius) / 1000;
}

/** `thermocoupleVoltage`, but exactly 0 at 0 °C, where rounding leaves far less than a nanovolt. */
export function referenceVoltage(type: ThermocoupleType, temperature: number): number | undefined {
  const volts = thermocoupleVoltage(type, temperature);
  return volts !== undefined && Math.abs(volts) < 1e-10 ? 0 : volts;
}

function referenceFunction(type: ThermocoupleType): Formula<'temperature'> {
  return formula({
    id: `thermocouple-voltage-${type.toLowerCase()}`,
    title: `Voltage of a type ${type} thermocouple, reference junction at 0 °C`,
    expression: `E_${type}(T)`,
    terms: {
      temperature: {
        symbol: 'T',
        label: 'hot junction',
        unit: 'K',
        show: '°C',
        valid: thermocoupleRange(type),
      },
    },
    result: { symbol: 'V', label: 'thermocouple voltage', unit: 'V', show: 'mV' },
    source: thermocoupleSource,
    compute: ({ temperature }) => referenceVoltage(type, temperature) ?? Number.NaN,
  });
}

/** The reference function of each type as a formula; not a number outside `thermocoupleRange`. */
export const referenceFunctions: Readonly<Record<ThermocoupleType, Formula<'temperature'>>> = {
  E: referenceFunction('E'),
  J: referenceFunction('J'),
  K: referenceFunction('K'),
  N: referenceFunction('N'),
  T: referenceFunction('T'),
};

/** Slope of the reference function (V/K) at `temperature` (K); `undefined` outside `thermocoupleRange`. */
export function seebeckCoefficient(type: ThermocoupleType, temperature: number): number | undefined {
  const celsius = temperature - ICE_POINT;
  const piece = pieceAt(type, celsius);
  return piece && millivoltsPerKelvin(piece, celsius) / 1000;
}

/**
 * Temperature (K) at which the reference function gives `voltage` (V, reference junction at 0 °C): the
 * printed inverse refined on the function itself, so that it undoes `thermocoupleVoltage` to 1e-6 K where the
 * printed inverse alone is up to 0.06 K off. `undefined` for a voltage that the type does not reach. Source:
 * NIST Monograph 175.
 */
export function thermocoupleTemperature(type: ThermocoupleType, voltage: number): number | undefined {
  const { pieces } = thermocoupleReferences[type];
  const target = voltage * 1000;
  let low = pieces[0]!.from;
  let high = pieces.at(-1)!.to;
  // Half a nanovolt of slack: the voltages of the limits themselves must not fall outside through rounding.
  const slack = 5e-7;
  if (!(target >= millivolts(pieces[0]!, low) - slack)) return undefined;
  if (!(target <= millivolts(pieces.at(-1)!, high) + slack)) return undefined;

  // Newton's method inside a bracket: the functions rise everywhere, but are nearly flat at their cold end.
  let guess = Math.min(Math.max(printedInverse(type, target) ?? (low + high) / 2, low), high);
  for (let turn = 0; turn < 100 && high - low > 1e-10; turn++) {
    const piece = pieceAt(type, guess)!;
    const excess = millivolts(piece, guess) - target;
    if (excess > 0) high = guess;
    else low = guess;
    const next = guess - excess / millivoltsPerKelvin(piece, guess);
    if (Math.abs(next - guess) < 1e-10) break;
    guess = next > low && next < high ? next : (low + high) / 2;
  }
  return guess + ICE_POINT;
}

/**
 * Voltage (V) at the controller's terminals for a hot junction and a cold junction (K). Voltages subtract,
 * temperatures do not, because the function is not linear.
 */
export function thermocoupleTerminalVoltage(
  type: ThermocoupleType,
  hotJunction: number,
  coldJunction: number,
): number | undefined {
  const hot = thermocoupleVoltage(type, hotJunction);
  const cold = thermocoupleVoltage(type, coldJunction);
  return hot === undefined || cold === undefined ? undefined : hot - cold;
}

/** Hot-junction temperature (K) from the terminal voltage (V) and the cold junction's temperature (K). */
export function thermocoupleHotJunction(
  type: ThermocoupleType,
  terminalVoltage: number,
  coldJunction: number,
): number | undefined {
  const cold = thermocoupleVoltage(type, coldJunction);
  return cold === undefined ? undefined : thermocoupleTemperature(type, terminalVoltage + cold);
}

function pieceAt(type: ThermocoupleType, celsius: number): ReferencePiece | undefined {
  return thermocoupleReferences[type].pieces.findLast(
    ({ from, to }) => celsius >= from - ROUNDING && celsius <= to + ROUNDING,
  );
}

function printedInverse(type: ThermocoupleType, target: number): number | undefined {
  const piece = thermocoupleReferences[type].inverse.find((one) => target >= one.from && target <= one.to);
  return piece && polynomial(piece, target);
}

function millivolts(piece: ReferencePiece, celsius: number): number {
  const sum = polynomial(piece, celsius);
  if (!piece.exponential) return sum;
  const [a0, a1, a2] = piece.exponential;
  return sum + a0 * Math.exp(a1 * (celsius - a2) ** 2);
}

function millivoltsPerKelvin(piece: ReferencePiece, celsius: number): number {
  const slope = piece.coefficients.reduceRight((sum, c, i) => (i === 0 ? sum : sum * celsius + i * c), 0);
  if (!piece.exponential) return slope;
  const [a0, a1, a2] = piece.exponential;
  return slope + 2 * a0 * a1 * (celsius - a2) * Math.exp(a1 * (celsius - a2) ** 2);
}

function polynomial({ coefficients }: Polynomial, x: number): number {
  return coefficients.reduceRight((sum, c) => sum * x + c, 0);
}
