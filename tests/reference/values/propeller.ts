import * as propeller from '../../../shared/physics/propeller.ts';
import { celsius, kW, outsideValue } from '../outside-value.ts';

const HAND = 'computed: by hand';
const PYTHON = 'computed: from the definitions in Python 3.11';
const ISA =
  'published: ICAO Doc 7488/3 (1993), table of the speed of sound, as quoted in standard references';
const inch = 0.0254;
const mph = 0.44704;

export const propellerValues = [
  outsideValue(propeller.propellerSpeedOf, { speed: 5640, ratio: 2.35 }, 2400, 1e-12, HAND),
  outsideValue(
    propeller.gearboxTorqueOf,
    { power: 100 * kW, efficiency: 0.98, propellerSpeed: 2400 },
    389.92961058,
    1e-8,
    PYTHON,
  ),
  outsideValue(
    propeller.tipSpeedOf,
    { diameter: 80 * inch, propellerSpeed: 2600, airspeed: 0 },
    618.8 * mph,
    1e-4,
    'published: worked example of tip speed, 80 in at 2600 rpm (pl.htfbw.com, 1018040663)',
  ),
  outsideValue(
    propeller.tipSpeedOf,
    { diameter: 1.72, propellerSpeed: 2400, airspeed: 60 },
    224.31491314,
    1e-8,
    PYTHON,
  ),
  outsideValue(propeller.speedOfSound, { temperature: 288.15 }, 340.294, 1e-6, ISA),
  outsideValue(propeller.speedOfSound, { temperature: 216.65 }, 295.069, 2e-6, ISA),
  outsideValue(propeller.speedOfSound, { temperature: celsius(0) }, 331.3, 2e-4, 'from memory: air at 0 °C'),
  outsideValue(
    propeller.tipMachOf,
    { tipSpeed: 618.8, soundSpeed: 760.9 },
    0.813,
    5e-4,
    'published: the same worked example, speeds in mph',
  ),
  outsideValue(propeller.bladePassingFrequencyOf, { blades: 3, propellerSpeed: 2400 }, 120, 1e-12, HAND),
  outsideValue(
    propeller.absorbedPowerOf,
    { ratedPower: 80 * kW, speed: 2750, ratedSpeed: 5500, density: 1.225 },
    10 * kW,
    1e-12,
    'computed: by hand, half the speed takes an eighth of the power',
  ),
  outsideValue(
    propeller.balanceSpeedOf,
    { ratedSpeed: 5500, power: 10 * kW, ratedPower: 80 * kW, density: 1.225 },
    2750,
    1e-12,
    HAND,
  ),
];
