/** One parameter of SAE J1939-71. */
export type Row = readonly [
  /** Suspect parameter number. */
  spn: number,
  name: string,
  /** The quantity of the engine file that it is. */
  quantity: string | undefined,
  group: string,
  /** Parameter group number. */
  pgn: number,
  /** Number of its first byte, from 1. */
  byte: number,
  bits: number,
  scale: number,
  offset: number,
  /** With the pressure reference. */
  unit: string,
];

/**
 * Parameters of SAE J1939-71. Places, scales and offsets as published in the repository EvanL1/voltage-j1939 on GitHub,
 * src/database.rs, commit ae73c4a1, and equal to memory of J1939-71; pressure references from memory. The text of the
 * standard was not read.
 */
export const parameterRows: readonly Row[] = [
  [190, 'engine speed', 'engine_speed', 'EEC1', 61444, 4, 16, 0.125, 0, 'rpm'],
  [512, 'driver’s demand torque', undefined, 'EEC1', 61444, 2, 8, 1, -125, '%'],
  [513, 'actual torque', undefined, 'EEC1', 61444, 3, 8, 1, -125, '%'],
  [91, 'accelerator pedal position', undefined, 'EEC2', 61443, 2, 8, 0.4, 0, '%'],
  [92, 'load at current speed', undefined, 'EEC2', 61443, 3, 8, 1, 0, '%'],
  [110, 'engine coolant temperature', 'coolant_temperature', 'ET1', 65262, 1, 8, 1, -40, '°C'],
  [174, 'fuel temperature', 'fuel_temperature', 'ET1', 65262, 2, 8, 1, -40, '°C'],
  [175, 'engine oil temperature', 'oil_temperature', 'ET1', 65262, 3, 16, 0.03125, -273, '°C'],
  [52, 'intercooler temperature', undefined, 'ET1', 65262, 7, 8, 1, -40, '°C'],
  [94, 'fuel delivery pressure', 'fuel_pressure', 'EFL/P1', 65263, 1, 8, 4, 0, 'kPa gauge'],
  [98, 'engine oil level', undefined, 'EFL/P1', 65263, 3, 8, 0.4, 0, '%'],
  [100, 'engine oil pressure', 'oil_pressure', 'EFL/P1', 65263, 4, 8, 4, 0, 'kPa gauge'],
  [101, 'crankcase pressure', undefined, 'EFL/P1', 65263, 5, 16, 0.0078125, -250, 'kPa gauge'],
  [109, 'coolant pressure', undefined, 'EFL/P1', 65263, 7, 8, 2, 0, 'kPa gauge'],
  [111, 'coolant level', undefined, 'EFL/P1', 65263, 8, 8, 0.4, 0, '%'],
  [102, 'intake manifold (boost) pressure', 'manifold_pressure', 'IC1', 65270, 2, 8, 2, 0, 'kPa gauge'],
  [105, 'intake manifold temperature', 'charge_temperature', 'IC1', 65270, 3, 8, 1, -40, '°C'],
  [106, 'air inlet pressure', undefined, 'IC1', 65270, 4, 8, 2, 0, 'kPa abs'],
  [107, 'air filter differential pressure', undefined, 'IC1', 65270, 5, 8, 0.05, 0, 'kPa'],
  [173, 'exhaust gas temperature', 'exhaust_gas_temperature', 'IC1', 65270, 6, 16, 0.03125, -273, '°C'],
  [108, 'barometric pressure', 'ambient_pressure', 'AMB', 65269, 1, 8, 0.5, 0, 'kPa abs'],
  [171, 'ambient air temperature', 'ambient_temperature', 'AMB', 65269, 4, 16, 0.03125, -273, '°C'],
  [172, 'air inlet temperature', 'intake_air_temperature', 'AMB', 65269, 6, 8, 1, -40, '°C'],
  [183, 'fuel rate', 'fuel_flow', 'LFE', 65266, 1, 16, 0.05, 0, 'L/h'],
  [51, 'throttle position', 'throttle_position', 'LFE', 65266, 7, 8, 0.4, 0, '%'],
  [168, 'battery potential', 'battery_voltage', 'VEP1', 65271, 5, 16, 0.05, 0, 'V'],
  [158, 'keyswitch battery potential', undefined, 'VEP1', 65271, 7, 16, 0.05, 0, 'V'],
  [247, 'total engine hours', undefined, 'HOURS', 65253, 1, 32, 0.05, 0, 'h'],
  [250, 'total fuel used', undefined, 'LFC', 65257, 5, 32, 0.5, 0, 'L'],
  [84, 'wheel-based vehicle speed', undefined, 'CCVS1', 65265, 2, 16, 0.00390625, 0, 'km/h'],
];
