import * as coil from '../../../shared/physics/coil.ts';
import * as firing from '../../../shared/physics/firing.ts';
import { ms, outsideValue } from '../outside-value.ts';

const STEP = 'computed: numerical integration of the circuit with scipy 1.10.1 solve_ivp, to 1e-8 A';
const TEXTBOOK =
  'published: Alexander and Sadiku, chapter 7 practice problem, 12 V, 4 ohm, 6 mH (holooly.com)';
const ANGLES = 'computed: one turn of the crank is 360 degrees and takes 60 s/min over the speed';

/** Volts, ohm, mH, dwell (ms), current (A), energy (mJ). */
const coilRows = [
  [14, 0.5, 3, 2.5, 9.541262, 136.553531],
  [9, 0.5, 3, 3, 7.082448, 75.241607],
  [12, 2, 10, 5, 3.792723, 71.923752],
  [13.8, 0.35, 2.2, 2, 10.745449, 127.01113],
] as const;

/** Volts, ohm, mH, current (A), dwell (ms). */
const dwellRows = [
  [14, 0.5, 3, 7.5, 1.870678],
  [9, 0.5, 3, 7.5, 3.233979],
  [13.8, 0.35, 2.2, 10, 1.838727],
  [12, 2, 10, 6, Number.POSITIVE_INFINITY],
  [12, 4, 6, 7.5, Number.POSITIVE_INFINITY],
] as const;

/**
 * Turns per cycle, sparks of one coil in it, speed (rpm), time between them (ms), dwell (ms), share, angle
 * (deg).
 */
const dwellFitRows = [
  [2, 2, 6000, 10, 3.5, 0.35, 126],
  [2, 1, 6000, 20, 3.5, 0.175, 126],
  [2, 4, 6000, 5, 3.5, 0.7, 126],
  [2, 6, 2700, 7.407407, 4, 0.54, 64.8],
] as const;

export const ignitionValues = [
  ...coilRows.flatMap(([voltage, resistance, inductance, dwell, current, energy]) => [
    outsideValue(
      coil.coilCurrent,
      { voltage, resistance, inductance: inductance * 1e-3, dwell: dwell * ms },
      current,
      1e-6,
      STEP,
    ),
    outsideValue(coil.coilEnergy, { inductance: inductance * 1e-3, current }, energy * 1e-3, 1e-6, STEP),
  ]),
  outsideValue(
    coil.coilCurrent,
    { voltage: 12, resistance: 4, inductance: 6e-3, dwell: 0.1 },
    3,
    1e-9,
    `${TEXTBOOK}: final current`,
  ),
  outsideValue(coil.coilEnergy, { inductance: 6e-3, current: 3 }, 27e-3, 1e-9, TEXTBOOK),
  ...dwellRows.map(([voltage, resistance, inductance, current, dwell]) =>
    outsideValue(
      coil.dwellForCurrent,
      { voltage, resistance, inductance: inductance * 1e-3, current },
      dwell * ms,
      1e-6,
      STEP,
    ),
  ),
  outsideValue(
    coil.dwellForCurrent,
    { voltage: 12, resistance: 2, inductance: 10e-3, current: 0.95 * 6 },
    0.01497,
    1e-3,
    'published: time to 95 % of final current, 12 V, 2 ohm, 10 mH (indextestingapp.uonbi.ac.ke), truncated',
  ),
  outsideValue(firing.ignitionAdvance, { fromMap: 28, retard: 3.5 }, 24.5, 0, 'computed: by hand'),
  outsideValue(firing.ignitionAdvance, { fromMap: 2, retard: 6 }, -4, 0, 'computed: by hand'),
  outsideValue(firing.firingAngle, { revolutions: 2, cylinders: 4 }, 180, 0, ANGLES),
  outsideValue(firing.firingAngle, { revolutions: 1, cylinders: 2 }, 180, 0, ANGLES),
  outsideValue(firing.nextSparkAngle, { interval: 180, advance: 30 }, 150, 0, ANGLES),
  outsideValue(firing.firingInterval, { revolutions: 2, cylinders: 4, speed: 6000 }, 5 * ms, 1e-9, ANGLES),
  outsideValue(
    firing.firingInterval,
    { revolutions: 2, cylinders: 6, speed: 2700 },
    7.407407 * ms,
    1e-7,
    ANGLES,
  ),
  ...dwellFitRows.flatMap(([revolutions, sparks, speed, interval, dwell, share, angle]) => [
    outsideValue(firing.coilInterval, { revolutions, sparks, speed }, interval * ms, 1e-7, ANGLES),
    outsideValue(firing.dwellShare, { dwell: dwell * ms, interval: interval * ms }, share, 1e-7, ANGLES),
    outsideValue(firing.sweptAngle, { speed, time: dwell * ms }, angle, 1e-9, ANGLES),
  ]),
  outsideValue(firing.sparkEnergyOf, { charge: 0.09, sparks: 2 }, 0.045, 1e-12, 'computed: by hand'),
  outsideValue(firing.deliveredAdvance, { advance: 26, delay: 3.3 }, 22.7, 1e-12, 'computed: by hand'),
  // A narrow-angle twin that fires after 315 and 405 degrees.
  outsideValue(firing.timeOfAngle, { angle: 315, speed: 3000 }, 17.5 * ms, 1e-12, ANGLES),
];
