import type { Coding, Published, PublishedParameter } from './convention.ts';

/**
 * CANaerospace V1.7 (M. Stock, 12 January 2006), sections 2, 3, 4.11 and 5.3: an interface standard that is open to
 * everyone. Published as canas_17.pdf, in the repository mjs513/CANaerospace on GitHub, commit ec99208a.
 */

/** The ranges of identifiers. Only a user-defined range is free for own data. */
export const identifierRanges = [
  { from: 0, to: 127, name: 'emergency event data', isFree: false },
  { from: 128, to: 199, name: 'high priority node service data', isFree: false },
  { from: 200, to: 299, name: 'high priority user-defined data', isFree: true },
  { from: 300, to: 1799, name: 'normal operation data', isFree: false },
  { from: 1800, to: 1899, name: 'low priority user-defined data', isFree: true },
  { from: 1900, to: 1999, name: 'debug service data', isFree: false },
  { from: 2000, to: 2031, name: 'low priority node service data', isFree: false },
] as const;

/** The bytes of data of each type and its number in the header. */
export const dataTypes = {
  FLOAT: { number: 2, bytes: 4 },
  LONG: { number: 3, bytes: 4 },
  ULONG: { number: 4, bytes: 4 },
  BLONG: { number: 5, bytes: 4 },
  SHORT: { number: 6, bytes: 2 },
  USHORT: { number: 7, bytes: 2 },
  BSHORT: { number: 8, bytes: 2 },
  CHAR: { number: 9, bytes: 1 },
  UCHAR: { number: 10, bytes: 1 },
  BCHAR: { number: 11, bytes: 1 },
  SHORT2: { number: 12, bytes: 4 },
  USHORT2: { number: 13, bytes: 4 },
  UCHAR4: { number: 16, bytes: 4 },
} as const;

export type DataType = keyof typeof dataTypes;

/** The permitted bit rates, in bit/s. */
export const bitRates: readonly number[] = [1000e3, 500e3, 250e3, 125e3];

/** The header of every message: node, data type, service code and message code. */
export const HEADER_BYTES = 4;

interface Row {
  readonly id: number;
  readonly parameter: string;
  readonly quantity?: string;
  readonly unit: string;
}

/** The data of engine 1 on channel A. Add n − 1 for engine n = 1 to 4, and 64 for channel B. */
const engineRows: readonly Row[] = [
  { id: 500, parameter: 'N1: crankshaft speed for piston engines', quantity: 'engine_speed', unit: 'rpm' },
  { id: 504, parameter: 'N2: propeller speed for piston engines', quantity: 'propeller_speed', unit: 'rpm' },
  { id: 508, parameter: 'torque', unit: 'Norm' },
  { id: 512, parameter: 'turbine inlet temperature', unit: 'K' },
  { id: 516, parameter: 'interturbine temperature', unit: 'K' },
  {
    id: 520,
    parameter: 'turbine outlet temperature; exhaust gas temperature for piston engines',
    quantity: 'exhaust_gas_temperature',
    unit: 'K',
  },
  { id: 524, parameter: 'fuel flow rate', quantity: 'fuel_flow', unit: 'L/h' },
  { id: 528, parameter: 'manifold pressure', quantity: 'manifold_pressure', unit: 'hPa' },
  { id: 532, parameter: 'oil pressure', quantity: 'oil_pressure', unit: 'hPa' },
  { id: 536, parameter: 'oil temperature', quantity: 'oil_temperature', unit: 'K' },
  { id: 540, parameter: 'cylinder head temperature', quantity: 'cylinder_head_temperature', unit: 'K' },
  { id: 544, parameter: 'oil quantity', unit: 'L' },
  { id: 548, parameter: 'coolant temperature', quantity: 'coolant_temperature', unit: 'K' },
  { id: 552, parameter: 'power rating', unit: 'Norm' },
];

/** Status bits of engine 1 on channel A, as BSHORT or BLONG. */
const statusRows: readonly Row[] = [
  { id: 556, parameter: 'status 1', unit: '' },
  { id: 560, parameter: 'status 2', unit: '' },
];

const otherRows: readonly Row[] = [
  { id: 668, parameter: 'fuel tank 1 quantity', unit: 'kg' },
  { id: 684, parameter: 'fuel system pressure', quantity: 'fuel_pressure', unit: 'hPa' },
  { id: 920, parameter: 'DC voltage', quantity: 'battery_voltage', unit: 'V' },
];

/** The interval and the node of the example schedule, section 5.3: an engine monitoring system. */
export const exampleSchedule = { every: '100 ms', node: 11 } as const;

const FIRST_BIT = 8 * HEADER_BYTES + 7;
const shared = { startBit: FIRST_BIT, byteOrder: 'big' } as const;

/** The suggested type first. Norm is a share of the rated value. */
function codingsOf({ unit }: Row): readonly Coding[] {
  const step = unit === 'Norm' ? '1' : `1 ${unit}`;
  const scaling = { scale: step, offset: step.replace('1', '0') };
  return [
    { type: 'FLOAT', ...shared, ...scaling, bits: 32, signed: false, isFloat: true },
    { type: 'SHORT2', ...shared, ...scaling, bits: 16, signed: true, isFloat: false },
  ];
}

const ENGINES = 4;
const CHANNELS = 64;

const published = new Map<number, Published>();
for (const row of [...engineRows, ...statusRows]) {
  const isStatus = statusRows.includes(row);
  for (let engine = 1; engine <= ENGINES; engine++) {
    for (const channel of ['A', 'B']) {
      const { parameter, quantity } = row;
      const parameters: PublishedParameter[] = [
        { name: parameter, quantity, codings: isStatus ? [] : codingsOf(row) },
      ];
      published.set(row.id + engine - 1 + (channel === 'A' ? 0 : CHANNELS), {
        title: `${parameter} of engine ${engine}, channel ${channel}`,
        parameters,
        types: isStatus ? ['BSHORT', 'BLONG'] : ['FLOAT', 'SHORT2'],
      });
    }
  }
}
for (const row of otherRows) {
  const { id, parameter, quantity } = row;
  const parameters = [{ name: parameter, quantity, codings: codingsOf(row) }];
  published.set(id, { title: parameter, parameters, types: ['FLOAT', 'SHORT2'] });
}

/** What the convention sends under an identifier; undefined if this table does not have it. */
export const publishedAs = (id: number): Published | undefined => published.get(id);

/** The identifier for a quantity of engine 1 on channel A. */
export const identifierFor = (quantity: string): number | undefined =>
  [...engineRows, ...otherRows].find((row) => row.quantity === quantity)?.id;
