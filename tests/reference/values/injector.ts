import * as injector from '../../../shared/physics/injector.ts';
import { ccPerMinute, gal, hour, kPa, lb, mg, ms, outsideValue } from '../outside-value.ts';

const ORIFICE = 'computed: orifice equation in Python 3.11, flow by the root of the pressure drop';
const REGULATOR = 'computed: rail absolute less manifold absolute in Python 3.11';
const SPEED_DENSITY = 'computed: speed-density example carried on to the fuel in Python 3.11';

/** Static flow (cc/min), its pressure, the pressure at work (kPa), flow at work (cc/min). */
const flowRows = [
  [440, 300, 250, 401.66321],
  [200, 270, 300, 210.81851],
  [1000, 300, 160, 730.29674],
  [440, 300, 0, 0],
  [440, 300, -40, 0],
] as const;

/** Rail gauge, ambient, manifold, rail over manifold (kPa). */
const regulatorRows = [
  [300, 101.325, 30, 371.325],
  [300, 70, 180, 190],
  [400, 101.325, 220, 281.325],
] as const;

/** Flow (cc/min), density (kg/m³), fuel (mg), dead time (ms), pulse (ms). */
const pulseRows = [
  [440, 720, 30, 0.9, 6.581818],
  [365, 745, 22, 1.0, 5.85428],
  [630, 720, 45, 0.85, 6.802381],
] as const;

/** Pulse (ms), injections per cycle, cycle time (ms), duty. */
const dutyRows = [
  [16.5, 1, 20.689655, 0.7975],
  [12, 2, 20, 1.2],
  [2.5, 1, 150, 0.016667],
] as const;

export const injectorValues = [
  ...regulatorRows.map(([rail, ambient, manifold, over]) =>
    outsideValue(
      injector.fixedRailPressure,
      { railPressure: rail * kPa, ambientPressure: ambient * kPa, manifoldPressure: manifold * kPa },
      over * kPa,
      1e-9,
      REGULATOR,
    ),
  ),
  // The same pressures the other way around: rail gauge is what is left of the drop above ambient.
  ...regulatorRows.map(([rail, ambient, manifold, over]) =>
    outsideValue(
      injector.referencedRailPressure,
      { railDrop: over * kPa, ambientPressure: ambient * kPa, manifoldPressure: manifold * kPa },
      rail * kPa,
      1e-9,
      REGULATOR,
    ),
  ),
  ...flowRows.map(([flow, rated, drop, expected]) =>
    outsideValue(
      injector.injectorFlow,
      {
        staticFlow: flow * ccPerMinute,
        ratedPressure: rated * kPa,
        railDrop: drop * kPa,
        testFluidDensity: 745,
        fuelDensity: 745,
      },
      expected * ccPerMinute,
      1e-7,
      ORIFICE,
    ),
  ),
  outsideValue(
    injector.injectorFlow,
    // 4.37 g/s at 690 kg/m³ becomes 4.5408 g/s at 745 kg/m³: mass flow is proportional to the square root of density.
    {
      staticFlow: 380 * ccPerMinute,
      ratedPressure: 300 * kPa,
      railDrop: 300 * kPa,
      testFluidDensity: 690,
      fuelDensity: 745,
    },
    4.5408e-3 / 745,
    2e-5,
    'computed: ISO 5167-1 form, mass flow by the root of the density, by hand',
  ),
  outsideValue(
    injector.fuelMassPerCycle,
    {
      airMass: 433.02511 * mg,
      stoichiometricRatio: 12.5,
      lambda: 1,
      warmUpEnrichment: 1,
      chargeTemperatureCorrection: 1,
    },
    34.642009 * mg,
    1e-7,
    SPEED_DENSITY,
  ),
  outsideValue(
    injector.fuelMassPerCycle,
    // Lambda 0.85034 of 14.7 is an air-fuel ratio of 12.5; a quarter more for warm-up, a tenth less for heat.
    {
      airMass: 433.02511 * mg,
      stoichiometricRatio: 14.7,
      lambda: 0.85034,
      warmUpEnrichment: 1.25,
      chargeTemperatureCorrection: 0.9,
    },
    34.642009 * 1.25 * 0.9 * mg,
    1e-5,
    SPEED_DENSITY,
  ),
  ...pulseRows.map(([flow, density, fuel, deadTime, pulse]) =>
    outsideValue(
      injector.injectorPulseWidth,
      {
        fuelMass: fuel * mg,
        flow: flow * ccPerMinute,
        fuelDensity: density,
        injectorsPerCylinder: 1,
        injections: 1,
        deadTime: deadTime * ms,
      },
      pulse * ms,
      1e-6,
      'computed: fuel over static mass flow, plus dead time, in Python 3.11',
    ),
  ),
  outsideValue(
    injector.injectorPulseWidth,
    {
      fuelMass: 30 * mg,
      flow: 440 * ccPerMinute,
      fuelDensity: 720,
      injectorsPerCylinder: 2,
      injections: 2,
      deadTime: 0.9 * ms,
    },
    (5.681818 / 4 + 0.9) * ms,
    1e-6,
    'computed: the first row shared by two injectors that open twice',
  ),
  ...dutyRows.map(([pulse, injections, cycle, duty]) =>
    outsideValue(
      injector.injectorDuty,
      { pulseWidth: pulse * ms, injections, cycleTime: cycle * ms },
      duty,
      3e-5,
      'computed: pulse over cycle in Python 3.11',
    ),
  ),
  outsideValue(
    injector.fuelFlow,
    { fuelMass: 34.642009 * mg, cylinders: 4, cycleTime: 20.689655 * ms },
    24.110838 / hour,
    1e-6,
    SPEED_DENSITY,
  ),
  outsideValue(
    injector.fuelVolumeFlow,
    { massFlow: (100 * lb) / hour, fuelDensity: (6 * lb) / gal },
    (16.6667 * gal) / hour,
    1e-5,
    'published: injector sizing example (tech.mirage-performance.com): 100 lb/h at 6 lb/gal is 16.67 gal/h',
  ),
];
