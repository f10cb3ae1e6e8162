import * as measured from '../../../shared/physics/measured.ts';
import { ccPerMinute, celsius, hour, kPa, kW, litre, mg, ms, outsideValue } from '../outside-value.ts';

const FACTORS =
  'computed: SAE J1349 (1990) and ISO 1585 in Python, dry pressure by the CIPM-2007 vapour pressure; a formula of vapour pressure moves a factor by less than 2e-5';
const MATHUR =
  'published: M. L. Mathur and R. P. Sharma, Internal Combustion Engine, example 27.5 (factor of ISO 3046 for spark-ignition engines, 1.066643 before rounding)';
const SONNTAG = 'computed: the formula in Python 3.11; within 2e-4 of IAPWS R7-97 equation 30';
const IF97 = 'computed: vapour pressure by IAPWS R7-97 equation 30';
const TORQUE = 'computed: 2 π n M, in Python';
const CONSUMPTION = 'computed: 27 L/h of 0.72 kg/L, in Python';
const BY_HAND = 'computed: by hand, in another arrangement';

/** Dry pressure (kPa), temperature (°C), factors of SAE J1349 and ISO 1585. */
const factorRows = [
  [99, 25, 1, 1],
  [99.00001, 25, 1, 1],
  [100.3016, 15, 0.964979, 0.964492],
  [96.41942, 28, 1.037665, 1.038425],
  [93.09624, 32, 1.089483, 1.091676],
  [88.83042, 20, 1.124011, 1.127403],
  [84.13157, 10, 1.173142, 1.178565],
] as const;

/** Temperature (°C), saturation vapour pressure (Pa). */
const vapourRows = [
  [0.01, 611.657],
  [5, 872.54],
  [10, 1228.133],
  [15, 1705.713],
  [20, 2339.249],
  [25, 3169.904],
  [30, 4247.029],
  [35, 5629.202],
  [40, 7385.296],
  [45, 9595.565],
  [50, 12352.743],
  [60, 19947.664],
] as const;

/** Pressure (Pa), temperature (°C), relative humidity, vapour pressure (Pa), dry pressure (Pa). */
const dryRows = [
  [101325, 20, 0.5, 1169.607, 100155.393],
  [99000, 25, 0.3, 950.924, 98049.076],
  [97700, 29.44, 0.85, 3495.259, 94204.741],
  [85000, 10, 0.8, 982.547, 84017.453],
  [101325, 35, 0.9, 5065.758, 96259.242],
] as const;

/** Torque (N m), speed (rpm), power (kW). */
const torqueRows = [
  [100, 5252.113, 54.999999],
  [281, 6000, 176.557507],
  [144, 5800, 87.461939],
  [400, 2300, 96.342175],
  [236, 3000, 74.141587],
] as const;

/** Fuel (L/h), density (kg/L), power (kW), specific consumption (g/kWh). */
const consumptionRows = [
  [27, 0.72, 73.5, 264.4898],
  [24, 0.745, 60, 298],
  [38, 0.72, 119.3, 229.3378],
  [17.5, 0.745, 50, 260.75],
] as const;

export const measuredValues = [
  ...factorRows.flatMap(([dry, degrees, sae, iso]) => {
    const air = { dryPressure: dry * kPa, temperature: celsius(degrees) };
    return [
      outsideValue(measured.saeCorrection, air, sae, 2e-5, FACTORS),
      outsideValue(measured.isoCorrection, air, iso, 2e-5, FACTORS),
    ];
  }),
  // Referred to 99.04 kPa and 298 K there, 99 kPa and 298.15 K here.
  outsideValue(
    measured.isoCorrection,
    { dryPressure: (98 - 0.8 * 4.2) * (99 / 99.04) * kPa, temperature: 303 * (298.15 / 298) },
    1.066643,
    1e-6,
    MATHUR,
  ),
  ...vapourRows.map(([degrees, pressure]) =>
    outsideValue(measured.saturationPressure, { temperature: celsius(degrees) }, pressure, 2e-6, SONNTAG),
  ),
  ...dryRows.map(([pressure, _degrees, humidity, vapour, dry]) =>
    outsideValue(
      measured.dryPressure,
      { pressure, humidity, saturation: vapour / humidity },
      dry,
      1e-8,
      IF97,
    ),
  ),
  ...torqueRows.map(([torque, speed, power]) =>
    outsideValue(measured.powerOfTorque, { torque, speed }, power * kW, 1e-7, TORQUE),
  ),
  ...consumptionRows.map(([flow, density, power, grams]) =>
    outsideValue(
      measured.measuredConsumption,
      { fuelFlow: (flow * density) / hour, power: power * kW },
      (grams / 1000 / hour) * 1e-3,
      1e-6,
      CONSUMPTION,
    ),
  ),
  // 376 Nm at the propeller shaft over a gear of 2.35 with 2 % loss.
  outsideValue(
    measured.crankTorqueOfShaft,
    { torque: 376, ratio: 2.35, efficiency: 0.98 },
    163.2653,
    1e-6,
    BY_HAND,
  ),
  // 9.0 ms less 1.0 ms dead time are 1/7500 min: of 300 cc/min 0.04 cc, of 0.75 g/cc 30 mg.
  outsideValue(
    measured.fuelMassOfPulse,
    {
      pulseWidth: 9 * ms,
      deadTime: 1 * ms,
      flow: 300 * ccPerMinute,
      fuelDensity: 750,
      injectorsPerCylinder: 1,
      injections: 1,
    },
    30 * mg,
    1e-9,
    BY_HAND,
  ),
  // 30 mg at lambda 0.9 and 14.5 took 391.5 mg of air; 0.4 L of air at 100 kPa and 300 K weigh 464.5 mg (R = 287.05).
  outsideValue(
    measured.measuredFilling,
    {
      fuelMass: 30 * mg,
      stoichiometricRatio: 14.5,
      lambda: 0.9,
      chargeTemperature: 300,
      manifoldPressure: 100 * kPa,
      cylinderVolume: 0.4 * litre,
    },
    391.5 / 464.495,
    1e-6,
    BY_HAND,
  ),
  // At 3000 rpm, two revolutions take 40 ms and one 20 ms; the sensor lags by 60 ms.
  outsideValue(measured.exhaustDelay, { cycleTime: 40 * ms }, 0.1, 1e-12, BY_HAND),
  outsideValue(measured.exhaustDelay, { cycleTime: 20 * ms }, 0.08, 1e-12, BY_HAND),
  outsideValue(
    measured.compensatedCorrection,
    {},
    1,
    0,
    'published: UN GRPE-70-02, eliminate redundant correction factors; the value 1 from memory',
  ),
];
