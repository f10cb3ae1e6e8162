import * as chargeAir from '../../../shared/physics/charge-air.ts';
import { celsius, kPa, outsideValue, psi } from '../outside-value.ts';

/**
 * One worked sizing runs through all pressures: ambient 14.7 psi, 1 psi lost in the filter, 2 psi between
 * compressor and manifold, manifold 41.1 psi absolute, boost 26.4 psi, pressure ratio 3.146.
 */
const SIZING =
  'published: turbocharger sizing example, performancespecialties.wordpress.com 2011-08-10, printed digits';
const sizing = {
  ambientPressure: 14.7 * psi,
  intakeLoss: 1 * psi,
  coolerLoss: 2 * psi,
  maximumPressureRatio: 3.146,
};
const manifoldPressure = 41.1 * psi;

const BOOST_TABLE = 'computed: 10 psi of boost at 8000 ft by ISO 2533, 1 kPa and 2 kPa lost, in Python 3.11';
const OUTLET = 'computed: cross-checked with fluids 1.0.22, isentropic_T_rise_compression, to 1e-12';

/** Inlet (°C), pressure ratio, efficiency, outlet (°C). */
const outletRows = [
  [15, 1.2, 1.0, 30.4081],
  [15, 2.0, 0.7, 105.1554],
  [25, 2.5, 0.78, 139.3914],
  [40, 1.8, 0.78, 113.4154],
  [40, 3.0, 0.6, 232.4506],
] as const;

/** Compressor outlet, coolant (°C), effectiveness, charge (°C). */
const coolerRows = [
  [120, 25, 0.7, 53.5],
  [95.3, 15, 0.65, 43.105],
  [150, 38, 0.8, 60.4],
] as const;

export const chargeAirValues = [
  outsideValue(chargeAir.aspiratedManifoldPressure, sizing, 13.7 * psi, 1e-9, SIZING),
  outsideValue(
    chargeAir.absolutePressure,
    { ...sizing, boostPressure: 26.4 * psi },
    manifoldPressure,
    1e-9,
    SIZING,
  ),
  outsideValue(chargeAir.availableManifoldPressure, sizing, manifoldPressure, 1e-4, SIZING),
  outsideValue(
    chargeAir.manifoldPressure,
    { target: 45 * psi, available: manifoldPressure },
    manifoldPressure,
    1e-9,
    `${SIZING}; a target beyond the compressor gets what the compressor gives`,
  ),
  outsideValue(
    chargeAir.manifoldPressure,
    { target: 30 * psi, available: manifoldPressure },
    30 * psi,
    1e-9,
    `${SIZING}; a target within the compressor's reach is met`,
  ),
  outsideValue(chargeAir.boostPressure, { ...sizing, manifoldPressure }, 26.4 * psi, 1e-9, SIZING),
  outsideValue(chargeAir.pressureRatio, { ...sizing, manifoldPressure }, 3.146, 1e-4, SIZING),
  outsideValue(
    chargeAir.pressureRatio,
    {
      manifoldPressure: 144.2099 * kPa,
      coolerLoss: 2 * kPa,
      ambientPressure: 75.2624 * kPa,
      intakeLoss: 1 * kPa,
    },
    1.96883,
    1e-5,
    BOOST_TABLE,
  ),
  outsideValue(
    chargeAir.pressureRatio,
    { ...sizing, manifoldPressure: 5 * psi },
    1,
    0,
    'computed: a throttled manifold leaves the compressor at 1',
  ),
  ...outletRows.map(([inlet, pressureRatio, efficiency, outlet]) =>
    outsideValue(
      chargeAir.compressorOutletTemperature,
      { ambientTemperature: celsius(inlet), pressureRatio, efficiency },
      celsius(outlet),
      1e-6,
      OUTLET,
    ),
  ),
  ...coolerRows.map(([outlet, coolant, effectiveness, charge]) =>
    outsideValue(
      chargeAir.chargeTemperature,
      { outletTemperature: celsius(outlet), effectiveness, ambientTemperature: celsius(coolant) },
      celsius(charge),
      1e-9,
      'computed: definition of effectiveness solved by hand',
    ),
  ),
  outsideValue(chargeAir.criticalPressure, { ...sizing, manifoldPressure }, 14.7 * psi, 1e-4, SIZING),
  outsideValue(
    chargeAir.criticalPressureForBoost,
    { ...sizing, boostPressure: 26.4 * psi },
    14.7 * psi,
    1e-4,
    SIZING,
  ),
];
