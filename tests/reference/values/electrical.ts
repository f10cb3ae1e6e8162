import * as bus from '../../../shared/physics/bus.ts';
import { signalResolution, signalValue } from '../../../shared/physics/bus-signal.ts';
import * as divider from '../../../shared/physics/divider.ts';
import { rtdResistance } from '../../../shared/physics/rtd.ts';
import { converterStep, linearScaling, unitsPerBit } from '../../../shared/physics/sensor-scaling.ts';
import * as thermistor from '../../../shared/physics/thermistor.ts';
import { referenceFunctions } from '../../../shared/physics/thermocouple.ts';
import * as wheel from '../../../shared/physics/toothed-wheel.ts';
import * as wire from '../../../shared/physics/wire.ts';
import { celsius, ft, mm, ms, outsideValue } from '../outside-value.ts';

const mil = 25.4e-6;

const PT100 = 'published: IEC 60751 table as reprinted at sensorsci.com/reference.htm, 0.01 ohm';
/** °C and ohm. */
const pt100Rows = [
  [-200, 18.52],
  [-50, 80.31],
  [0, 100],
  [100, 138.51],
  [600, 313.71],
] as const;

const NIST = 'published: NIST SRD 60, all.tab (the tables of NIST Monograph 175), 0.5 uV';
/** Type, °C and mV. */
const thermocoupleRows = [
  ['E', 100, 6.319],
  ['J', 500, 27.393],
  ['J', -200, -7.89],
  ['K', 100, 4.096],
  ['K', 1000, 41.276],
  ['N', 1000, 36.256],
  ['T', 200, 9.288],
] as const;

const J1939 = 'from memory: SAE J1939-71';
const COOLANT = 'published: coolant sensor on 5 V through 1.0 kohm, service manual, 0.1 V';
/** Middle of the printed resistance, ohm, and volts. */
const coolantRows = [
  [2500, 3.6],
  [1150, 2.7],
  [250, 1.0],
] as const;

const HANDBOOK_100 = 'from memory: NBS Handbook 100, tables 6 and 8';
const AC_43_13 =
  'published: FAA AC 43.13-1B change 1, page 11-22, table 11-7 with the resistances of table 11-9';
const UNITS = 'computed: GNU units 2.22, awg(n)';
const PYTHON = 'computed: from the definition in Python 3.11';
const DAVIS = 'computed: can-utils canframelen.c at 95aae6b, worst-case mode (Davis et al. 2007, equation 1)';
const FRAMES = 'computed: can-utils canframelen.c at 95aae6b, frame without stuffing and with intermission';
const SOLVED = 'computed: three points of a 10 kohm B 3435 table solved with numpy 1.24.2';
const DECIMAL = 'computed: with 40 digits in Python (decimal)';
const SLOPE = 'computed: numerical slope of temperature against the input voltage, Python 3.11';
const COUNTEREXAMPLE =
  'from memory: Davis et al. 2007, section 3.2: the second instance of the last of three 1 ms frames needs 3.5 ms';
const ARITHMETIC = 'computed: by hand';

const reference = { firstResistance: 10000, firstTemperature: celsius(25) };
const steinhart = { a: 0.0008861985852791606, b: 0.0002514304917005838, c: 1.94616938827165e-7 };

/** Of the same thermistor: ohm, K, and K per step of a 12-bit converter, with 2.49 kohm to 5 V. */
const resolutionRows = [
  [757.6, celsius(110), 0.055539212],
  [10000, celsius(25), 0.040930614],
  [188500, celsius(-40), 0.348255709],
] as const;

export const electricalValues = [
  ...pt100Rows.map(([degrees, ohm]) =>
    outsideValue(rtdResistance, { resistanceAtZero: 100, temperature: celsius(degrees) }, ohm, 5e-5, PT100),
  ),
  outsideValue(
    divider.parallelResistance,
    { first: 120, second: 120 },
    60,
    1e-12,
    'published: ISO 11898-2, two resistors of 120 ohm load the bus with 60 ohm (from memory)',
  ),
  ...coolantRows.flatMap(([resistance, volts]) => [
    outsideValue(divider.dividerVoltage, { resistance, pullUp: 1000, supply: 5 }, volts, 0.02, COOLANT),
    outsideValue(
      divider.dividerResistance,
      { voltage: volts, pullUp: 1000, supply: 5 },
      resistance,
      0.03,
      COOLANT,
    ),
  ]),
  ...thermocoupleRows.map(([type, degrees, millivolts]) =>
    outsideValue(
      referenceFunctions[type],
      { temperature: celsius(degrees) },
      millivolts * 1e-3,
      5e-7 / Math.abs(millivolts * 1e-3),
      NIST,
    ),
  ),
  outsideValue(referenceFunctions.K, { temperature: celsius(0) }, 0, 5e-7, NIST),
  outsideValue(
    divider.selfHeatingPower,
    { resistance: 1000, pullUp: 4000, supply: 5 },
    1e-3,
    1e-12,
    ARITHMETIC,
  ),
  outsideValue(
    thermistor.betaValue,
    { ...reference, secondResistance: 1451, secondTemperature: celsius(85) },
    3435.43,
    2e-6,
    PYTHON,
  ),
  outsideValue(
    thermistor.betaResistance,
    { ...reference, beta: 3977, temperature: celsius(125) },
    350.7644,
    1e-6,
    PYTHON,
  ),
  outsideValue(
    thermistor.steinhartHartTemperature,
    { ...steinhart, resistance: 188500 },
    celsius(-40),
    1e-9,
    SOLVED,
  ),
  outsideValue(
    thermistor.steinhartHartTemperature,
    { ...steinhart, resistance: 757.6 },
    celsius(110),
    1e-9,
    SOLVED,
  ),
  outsideValue(
    thermistor.thermistorFitError,
    { ...steinhart, resistance: 5000, temperature: 320 },
    -2.33057710256108,
    1e-12,
    DECIMAL,
  ),
  outsideValue(
    thermistor.thermistorFitError,
    { ...steinhart, resistance: 757.6, temperature: celsius(110) },
    0,
    1e-9,
    SOLVED,
  ),
  ...resolutionRows.map(([resistance, temperature, kelvin]) =>
    outsideValue(
      thermistor.kelvinPerStep,
      { ...steinhart, resistance, temperature, pullUp: 2490, supply: 5, step: 5 / 4095 },
      kelvin,
      1e-6,
      SLOPE,
    ),
  ),

  outsideValue(wire.wireDiameter, { gauge: 16 }, 1.290846 * mm, 1e-6, UNITS),
  outsideValue(wire.wireDiameter, { gauge: 20 }, 32.0 * mil, 2e-3, HANDBOOK_100),
  outsideValue(wire.wireArea, { diameter: 2.588187 * mm }, 5.261155e-6, 1e-6, UNITS),
  outsideValue(wire.copperResistivity, { temperature: celsius(20) }, 1.7241e-8, 1e-4, HANDBOOK_100),
  outsideValue(
    wire.copperResistivity,
    { temperature: celsius(105) },
    (1.7241e-8 * (234.5 + 105)) / 254.5,
    1e-4,
    'published: FAA AC 43.13-1B, page 11-22, the 234.5 °C rule',
  ),
  outsideValue(
    wire.wireResistance,
    { resistivity: 1.7241e-8, length: 1000 * ft, area: 3.3088e-6 },
    1.588,
    1e-3,
    HANDBOOK_100,
  ),
  outsideValue(wire.voltageDrop, { current: 20, resistance: 0.00028 * 90 }, 0.504, 1e-9, AC_43_13),

  outsideValue(bus.nominalFrameBits, { stuffed: 34, data: 64 }, 111, 0, FRAMES),
  outsideValue(bus.nominalFrameBits, { stuffed: 54, data: 64 }, 131, 0, FRAMES),
  outsideValue(bus.worstFrameBits, { stuffed: 34, data: 64 }, 135, 0, DAVIS),
  outsideValue(bus.worstFrameBits, { stuffed: 54, data: 64 }, 160, 0, DAVIS),
  outsideValue(bus.frameTime, { bits: 135, bitrate: 500e3 }, 270e-6, 1e-12, ARITHMETIC),
  outsideValue(bus.frameTime, { bits: 125, bitrate: 125e3 }, 1 * ms, 1e-12, COUNTEREXAMPLE),
  outsideValue(bus.responseTime, { waiting: 2.5 * ms, time: 1 * ms }, 3.5 * ms, 1e-12, COUNTEREXAMPLE),
  outsideValue(bus.busUtilization, { demand: 111 * 20, bitrate: 125e3 }, 0.01776, 1e-12, ARITHMETIC),
  outsideValue(
    signalValue,
    { count: 64255, step: 0.125, zero: 0 },
    8031.875,
    0,
    `${J1939}, engine speed: up to 8031.875 rpm`,
  ),
  outsideValue(
    signalValue,
    { count: 250, step: 1, zero: celsius(-40) },
    celsius(210),
    1e-12,
    `${J1939}, coolant temperature: −40 to 210 °C`,
  ),
  outsideValue(signalResolution, { step: 0.125 }, 0.125, 0, `${J1939}, engine speed: 0.125 rpm a bit`),

  outsideValue(wheel.degreesPerTooth, { teeth: 60 }, 6, 0, ARITHMETIC),
  outsideValue(wheel.edgesPerSecond, { teeth: 36, speed: 5500 }, 3300, 1e-12, ARITHMETIC),
  outsideValue(wheel.gapDuration, { teeth: 60, missing: 2, speed: 200 }, 15 * ms, 1e-12, ARITHMETIC),
  outsideValue(wheel.gapStart, { firstTooth: 84, teeth: 60, missing: 2 }, 102, 1e-12, ARITHMETIC),
  outsideValue(wheel.timeToSync, { teeth: 60, missing: 2, speed: 200 }, 0.32, 1e-12, ARITHMETIC),

  outsideValue(
    unitsPerBit,
    { first: 0, second: 1e6, low: 0.5, high: 4.5, step: 4 / 4000 },
    250,
    1e-12,
    'computed: by hand, 4000 steps over 1 MPa',
  ),
  outsideValue(
    unitsPerBit,
    { first: 1e6, second: 0, low: 0.5, high: 4.5, step: 4 / 4000 },
    250,
    1e-12,
    'computed: by hand, 4000 steps over 1 MPa, falling',
  ),
  outsideValue(converterStep, { span: 5, bits: 10 }, 5 / 1023, 1e-12, ARITHMETIC),
  outsideValue(
    linearScaling,
    { input: 2.5, firstInput: 0.5, firstValue: 0, secondInput: 4.5, secondValue: 1e6 },
    5e5,
    1e-12,
    ARITHMETIC,
  ),
];
