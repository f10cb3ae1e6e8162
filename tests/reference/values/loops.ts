import * as faults from '../../../shared/physics/faults.ts';
import * as loops from '../../../shared/physics/loops.ts';
import { bar, ccPerMinute, mg, ms, outsideValue } from '../outside-value.ts';

const ORIFICE = 'computed: pulse and orifice equations turned round in Python 3.11';
const HAND = 'computed: by hand';

/** 300 cc/min at 0.75 kg/L is 3.75 mg/ms; 30 mg is required. */
const INJECTOR = {
  flow: 300 * ccPerMinute,
  fuelDensity: 750,
  injectorsPerCylinder: 1,
  injections: 1,
  fuelMass: 30 * mg,
};

/** Authorities (lambda loop, exhaust loop), fuel (mg) and lambda with all of both added. */
const enrichmentRows = [
  [0.12, 0.1, 34.642009, 42.678955, 0.82, 0.6655844],
  [0, 0.1, 30, 33, 0.88, 0.8],
  [0, 0, 30, 30, 0.9, 0.9],
] as const;

/** Lambda, lean limit, authorities, lambda with all of both taken away. */
const leaningRows = [
  [0.95, 1.2, 0.12, 0.03, 1.112933],
  [0.95, 1.05, 0.12, 0.03, 1.05],
  [1.1, 1.05, 0.12, 0, 1.1],
] as const;

/** Pulse, dead time (ms), flow (cc/min), density (kg/m³), fuel (mg). */
const pulseRows = [
  [6.581818, 0.9, 440, 720, 30],
  [5.85428, 1.0, 365, 745, 22],
  [0.8, 0.9, 440, 720, 0],
  [25, 0.9, 440, 720, 100.848],
] as const;

export const loopValues = [
  outsideValue(
    loops.lowestRailDrop,
    {
      ratedPressure: 3 * bar,
      fuelMass: 34.642009 * mg,
      duty: 0.85,
      cycleTime: 20.689655 * ms,
      injections: 1,
      deadTime: 0.98 * ms,
      injectorsPerCylinder: 1,
      fuelDensity: 745,
      staticFlow: 380 * ccPerMinute,
      testFluidDensity: 690,
    },
    63316.4355,
    1e-8,
    ORIFICE,
  ),
  outsideValue(
    loops.lowestRailDrop,
    {
      ratedPressure: 3 * bar,
      fuelMass: 50 * mg,
      duty: 0.9,
      cycleTime: 24 * ms,
      injections: 2,
      deadTime: 1.32 * ms,
      injectorsPerCylinder: 2,
      fuelDensity: 720,
      staticFlow: 380 * ccPerMinute,
      testFluidDensity: 720,
    },
    25083.8919,
    1e-8,
    ORIFICE,
  ),
  ...enrichmentRows.flatMap(([lambdaAuthority, exhaustAuthority, fuel, enriched, lambda, richer]) => [
    outsideValue(
      loops.enrichedFuelMass,
      { fuelMass: fuel * mg, lambdaAuthority, exhaustAuthority },
      enriched * mg,
      1e-6,
      HAND,
    ),
    outsideValue(loops.enrichedLambda, { lambda, lambdaAuthority, exhaustAuthority }, richer, 1e-6, HAND),
  ]),
  ...leaningRows.map(([lambda, leanLimit, lambdaAuthority, exhaustAuthority, leaner]) =>
    outsideValue(
      loops.leanedLambda,
      { lambda, leanLimit, lambdaAuthority, exhaustAuthority },
      leaner,
      1e-6,
      HAND,
    ),
  ),
  outsideValue(loops.retardedAdvance, { advance: 17, maximumRetard: 10 }, 7, 0, HAND),
  ...pulseRows.map(([pulse, dead, flow, fuelDensity, fuel]) =>
    outsideValue(
      loops.injectedFuelMass,
      {
        pulseWidth: pulse * ms,
        cycleTime: 20 * ms,
        deadTime: dead * ms,
        flow: flow * ccPerMinute,
        fuelDensity,
        injectorsPerCylinder: 1,
        injections: 1,
      },
      fuel * mg,
      1e-6,
      'computed: speed-density examples of the pulse width, turned round; an injector open for all of 20 ms',
    ),
  ),
  outsideValue(
    loops.lambdaOfInjectedFuel,
    { lambda: 0.82, fuelMass: 40 * mg, injected: 32 * mg },
    1.025,
    1e-12,
    HAND,
  ),
  outsideValue(faults.cylindersFiring, { cylinders: 6, dead: 2 }, 4, 0, HAND),
  outsideValue(faults.powerOfFiringCylinders, { power: 90e3, firing: 3, cylinders: 4 }, 67500, 1e-12, HAND),
  outsideValue(faults.lambdaOfFewerInjectors, { lambda: 0.9, outputs: 2, left: 1 }, 1.8, 1e-12, HAND),
  outsideValue(faults.quotient, { above: 3, below: 8 }, 0.375, 1e-15, HAND),
  outsideValue(faults.product, { first: 1.5, second: 0.25 }, 0.375, 1e-15, HAND),
  // A pulse 0.2 ms too long at 300 cc/min and 0.75 kg/L adds 0.75 mg to the 30 mg required.
  outsideValue(
    faults.deadTimeShare,
    { assumed: 1.2 * ms, deadTime: 1 * ms, ...INJECTOR },
    0.025,
    1e-12,
    HAND,
  ),
  // 20 ms less 1 ms at the same flow gives 71.25 mg.
  outsideValue(
    faults.fuelCapacity,
    { cycleTime: 20 * ms, deadTime: 1 * ms, ...INJECTOR },
    2.375,
    1e-12,
    HAND,
  ),
  // With a fifth less fuel than lambda 0.8 requires, lambda is 1; with injectors that deliver at most 5/8 of the fuel
  // for lambda 1, it is 1.6.
  outsideValue(
    faults.deliveredLambda,
    { ratio: 0.8, assumedLambda: 0.8, deadTimeShare: 0, capacity: 3 },
    1,
    1e-12,
    HAND,
  ),
  outsideValue(
    faults.deliveredLambda,
    { ratio: 1, assumedLambda: 0.8, deadTimeShare: 0, capacity: 0.625 },
    1.6,
    1e-12,
    HAND,
  ),
];
