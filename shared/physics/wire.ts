import { formula } from './formula.ts';
import type { SourceKey } from './sources.ts';

/** Reference temperature of the printed wire tables: 20 °C, in K. */
const TABLE_TEMPERATURE = 293.15;

/** Bare diameter (m) of a solid wire; gauges 00, 000 and 0000 are −1, −2 and −3. */
export const wireDiameter = formula({
  id: 'wire-diameter',
  title: 'Wire diameter',
  expression: 'd₃₆ · 92^((36 − n) / 39)',
  terms: { gauge: { symbol: 'n', label: 'gauge', unit: 'AWG', valid: [-3, 40] } },
  constants: [{ symbol: 'd₃₆', value: 0.127e-3, unit: 'm' }],
  result: { symbol: 'd', label: 'diameter', unit: 'm', show: 'mm' },
  source: 'astm-b258',
});

/** Cross-section (m²) of a round wire. */
export const wireArea = formula({
  id: 'wire-area',
  title: 'Wire cross-section',
  expression: 'π / 4 · d^2',
  terms: { diameter: { symbol: 'd', label: 'diameter', unit: 'm', show: 'mm', valid: [1e-5, 0.02] } },
  result: { symbol: 'S', label: 'cross-section', unit: 'm2', show: 'mm2' },
  source: 'definition',
});

/** Resistivity (ohm·m) of annealed copper at a temperature (K). */
export const copperResistivity = formula({
  id: 'copper-resistivity',
  title: 'Resistivity of copper',
  expression: 'ρ₂₀ · (1 + α · (T − T₂₀))',
  terms: {
    temperature: {
      symbol: 'T',
      label: 'conductor temperature',
      unit: 'K',
      show: '°C',
      valid: [218.15, 473.15],
    },
  },
  constants: [
    { symbol: 'ρ₂₀', value: 1e-6 / 58, unit: 'ohm·m' },
    { symbol: 'α', value: 0.00393, unit: '1/K' },
    { symbol: 'T₂₀', value: TABLE_TEMPERATURE, unit: 'K' },
  ],
  result: { symbol: 'ρ', label: 'resistivity', unit: 'ohm·m' },
  source: 'iacs-copper',
});

/** Resistance (ohm) of a length of wire. */
export const wireResistance = formula({
  id: 'wire-resistance',
  title: 'Wire resistance',
  expression: 'ρ · L / S',
  terms: {
    resistivity: { symbol: 'ρ', label: 'resistivity', unit: 'ohm·m', valid: [1e-8, 1e-6] },
    length: { symbol: 'L', label: 'length', unit: 'm', valid: [0, 100] },
    area: { symbol: 'S', label: 'cross-section', unit: 'm2', show: 'mm2', valid: [1e-9, 1e-3] },
  },
  result: { symbol: 'R', label: 'resistance', unit: 'ohm', show: 'mohm' },
  source: 'alexander-sec-2.2',
});

/** Voltage drop (V) along a wire. */
export const voltageDrop = formula({
  id: 'voltage-drop',
  title: 'Voltage drop',
  expression: 'I · R',
  terms: {
    current: { symbol: 'I', label: 'current', unit: 'A', valid: [0, 1000] },
    resistance: { symbol: 'R', label: 'resistance', unit: 'ohm', show: 'mohm', valid: [0, 100] },
  },
  result: { symbol: 'ΔV', label: 'voltage drop', unit: 'V' },
  source: 'alexander-sec-2.2',
});

/**
 * Resistance (ohm/m) of solid copper of a gauge at a conductor temperature (K). Stranded wire of the same gauge is
 * 10 % thinner to 19 % thicker: `aircraftWire` has the largest resistance of the usual aircraft wire.
 */
export function resistancePerMetre(gauge: number, temperature: number): number {
  return wireResistance({
    resistivity: copperResistivity({ temperature }),
    length: 1,
    area: wireArea({ diameter: wireDiameter({ gauge }) }),
  });
}

/** The source of `fuse` and `breaker` below, for whoever shows it. */
export const protectorSource = 'faa-ac-43.13-1b-table-11-3' satisfies SourceKey;

/** A row of the aircraft wire tables; currents in A, resistance in ohm/m. */
export interface AircraftWire {
  readonly gauge: number;
  /** Continuous current of a wire in a bundle, by the temperature rating of its insulation. Table 11-9. */
  readonly current: { readonly '105 °C': number; readonly '150 °C': number; readonly '200 °C': number };
  /** Largest resistance of the tin-plated strand at 20 °C. Table 11-9. */
  readonly maximumResistance: number;
  /** Largest protector; table 11-3 has no breaker for the two thickest wires, and neither fuse nor breaker for wire thinner than gauge 22. */
  readonly fuse?: number;
  readonly breaker?: number;
}

const METRES_PER_1000_FEET = 304.8;

function row(
  gauge: number,
  currents: readonly [number, number, number],
  ohmsPer1000Feet: number,
  fuse?: number,
  breaker?: number,
): AircraftWire {
  return {
    gauge,
    current: { '105 °C': currents[0], '150 °C': currents[1], '200 °C': currents[2] },
    maximumResistance: ohmsPer1000Feet / METRES_PER_1000_FEET,
    ...(fuse !== undefined && { fuse }),
    ...(breaker !== undefined && { breaker }),
  };
}

/**
 * Copper wire, thinnest first. Currents hold at 70 °C ambient, 60 000 ft, in a bundle of 33 or more wires (9
 * for gauge 8 and thicker) that carries at most 20 % of its capacity. Source: FAA AC 43.13-1B, tables 11-3
 * and 11-9.
 */
export const aircraftWires: readonly AircraftWire[] = [
  row(24, [2.5, 4, 5], 28.4),
  row(22, [3, 5, 6], 16.2, 5, 5),
  row(20, [4, 7, 9], 9.88, 5, 7.5),
  row(18, [6, 9, 12], 6.23, 10, 10),
  row(16, [7, 11, 14], 4.81, 10, 15),
  row(14, [10, 14, 18], 3.06, 15, 20),
  row(12, [13, 19, 25], 2.02, 20, 30),
  row(10, [17, 26, 32], 1.26, 30, 40),
  row(8, [38, 57, 71], 0.7, 50, 50),
  row(6, [50, 76, 97], 0.44, 70, 80),
  row(4, [68, 103, 133], 0.28, 70, 100),
  row(2, [95, 141, 179], 0.18, 100, 125),
  row(1, [113, 166, 210], 0.15, 150),
  row(0, [128, 192, 243], 0.12, 150),
];

/**
 * The thickest tabulated wire that is not thicker than `gauge`: an odd gauge gets the row of the next thinner one.
 */
export function aircraftWire(gauge: number): AircraftWire | undefined {
  return aircraftWires.findLast((wire) => wire.gauge >= gauge);
}

/**
 * Allowable voltage drop between bus and equipment, V. FAA AC 43.13-1B, table 11-6, from memory; the examples of tables
 * 11-7 and 11-8, which were read, confirm the continuous column.
 */
const DROP_LIMITS = [
  { system: 14, continuous: 0.5, intermittent: 1 },
  { system: 28, continuous: 1, intermittent: 2 },
] as const;

/** Allowable voltage drop (V) in a system of `nominal` volts, from the nearer of the 14 V and 28 V rows. */
export function voltageDropLimit(nominal: number, use: 'continuous' | 'intermittent'): number {
  const [small, large] = DROP_LIMITS;
  return (nominal - small.system <= large.system - nominal ? small : large)[use];
}
