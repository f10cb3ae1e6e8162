import {
  airDensity,
  altitudeForPressure,
  ambientPressure,
  ambientTemperature,
} from '../../../shared/physics/atmosphere.ts';
import { celsius, ft, outsideValue, psi, rankine } from '../outside-value.ts';

const ICAO = 'published: ICAO Doc 7488/3 (1993), table at geopotential altitude, six digits';
const USSA = 'published: U.S. Standard Atmosphere 1976 (NASA-TM-X-74335), foot table, six digits';
const CLOSED_FORM = 'computed: closed form of ISO 2533 in Python 3.11, cross-checked with fluids 1.0.22';

/** Altitude (m), temperature (K), pressure (Pa), density (kg/m³). */
const icaoRows = [
  [-5000, 320.65, 177687, 1.93047],
  [0, 288.15, 101325, 1.225],
  [11000, 216.65, 22632.0, 0.363918],
  [20000, 216.65, 5474.87, 0.0880345],
] as const;

/** Altitude (ft), temperature (°R), pressure (psi). */
const ussaRows = [
  [-1000, 522.236, 15.2348],
  [8000, 490.141, 10.9159],
  [18000, 454.479, 7.33889],
  [30000, 411.685, 4.36413],
  [40000, 389.97, 2.72003],
  [60000, 389.97, 1.04016],
] as const;

export const atmosphereValues = [
  ...icaoRows.flatMap(([altitude, temperature, pressure, density]) => [
    outsideValue(ambientTemperature, { altitude, deviation: 0 }, temperature, 1e-5, ICAO),
    outsideValue(ambientPressure, { altitude }, pressure, 1e-5, ICAO),
    outsideValue(airDensity, { pressure, temperature }, density, 1e-5, ICAO),
  ]),
  ...ussaRows.flatMap(([feet, temperature, pressure]) => [
    outsideValue(
      ambientTemperature,
      { altitude: feet * ft, deviation: 0 },
      temperature * rankine,
      1e-5,
      USSA,
    ),
    outsideValue(ambientPressure, { altitude: feet * ft }, pressure * psi, 1e-5, USSA),
  ]),
  outsideValue(
    ambientTemperature,
    { altitude: 5000 * ft, deviation: 24.906 },
    celsius(30),
    1e-6,
    'computed: 30 °C at 5000 ft is 24.906 K over standard (density altitude table)',
  ),
  outsideValue(altitudeForPressure, { pressure: 22632.0 }, 11000, 1e-5, ICAO),
  outsideValue(altitudeForPressure, { pressure: 7.33889 * psi }, 18000 * ft, 1e-5, USSA),
  outsideValue(altitudeForPressure, { pressure: 102500 }, -97.353, 1e-5, CLOSED_FORM),
  outsideValue(altitudeForPressure, { pressure: 70000 }, 3012.181, 1e-6, CLOSED_FORM),
  outsideValue(altitudeForPressure, { pressure: 10000 }, 16179.714, 1e-6, CLOSED_FORM),
];
