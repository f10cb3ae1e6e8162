import * as cylinder from '../../../shared/physics/cylinder.ts';
import {
  bar,
  celsius,
  cm3,
  hour,
  hp,
  kPa,
  kW,
  lb,
  litre,
  mg,
  mm,
  ms,
  outsideValue,
} from '../outside-value.ts';

const MEP_EXAMPLE =
  'published: mean effective pressure worked example, 85 x 97 mm, four cylinders, 230 Nm (scribd 500370243)';
const INLINE_SIX = 'published: inline six 84 x 90 mm, printed digits (enginesixuc.pages.dev)';
const STONE = 'published: R. Stone, Introduction to IC Engines, 3.0 L V6 problem, answers at askfilo.com';
const STONE_MEMORY = 'from memory: the same problem of R. Stone, answers of the book';
const SIZING = 'published: injector sizing example, 200 hp at 0.5 lb/hp h (tech.mirage-performance.com)';
const SPEED_DENSITY = 'computed: speed-density relation in Python 3.11, R = 287.05 J/(kg K)';

export const engineValues = [
  outsideValue(cylinder.cylinderVolume, { bore: 85 * mm, stroke: 97 * mm }, 550.4 * cm3, 1e-4, MEP_EXAMPLE),
  outsideValue(cylinder.cylinderVolume, { bore: 84 * mm, stroke: 90 * mm }, 498762e-9, 1e-5, INLINE_SIX),
  outsideValue(
    cylinder.displacement,
    { cylinders: 6, cylinderVolume: 498762e-9 },
    2.993 * litre,
    2e-4,
    INLINE_SIX,
  ),
  outsideValue(cylinder.meanPistonSpeed, { stroke: 90 * mm, speed: 6500 }, 19.5, 1e-9, INLINE_SIX),
  outsideValue(
    cylinder.cycleTime,
    { revolutions: 2, speed: 5500 },
    21.818182 * ms,
    1e-7,
    'computed: 120 s/min over the speed, four-stroke',
  ),
  outsideValue(
    cylinder.cycleTime,
    { revolutions: 1, speed: 6000 },
    10 * ms,
    1e-9,
    'computed: 60 s/min over the speed, two-stroke',
  ),
  outsideValue(
    cylinder.airMassPerCycle,
    {
      volumetricEfficiency: 0.9,
      manifoldPressure: 130 * kPa,
      cylinderVolume: 338 * cm3,
      chargeTemperature: celsius(45),
    },
    433.02511 * mg,
    1e-7,
    SPEED_DENSITY,
  ),
  outsideValue(
    cylinder.airMassPerCycle,
    {
      volumetricEfficiency: 0.55,
      manifoldPressure: 35 * kPa,
      cylinderVolume: 338 * cm3,
      chargeTemperature: celsius(30),
    },
    74.77085 * mg,
    1e-7,
    SPEED_DENSITY,
  ),
  outsideValue(
    cylinder.airMassPerCycle,
    {
      volumetricEfficiency: 0.907,
      manifoldPressure: 100 * kPa,
      cylinderVolume: 500 * cm3,
      chargeTemperature: celsius(20),
    },
    // 0.068 m³/s of air at 1 bar and 20 °C, drawn in by six cylinders 25 times a second.
    (0.068 * 100 * kPa) / (287.05 * celsius(20)) / (6 * 25),
    5e-4,
    STONE_MEMORY,
  ),
  outsideValue(
    cylinder.estimatedPower,
    { fuelFlow: (100 * lb) / hour, specificConsumption: (0.5 * lb) / (hp * hour) },
    200 * hp,
    1e-9,
    SIZING,
  ),
  outsideValue(
    cylinder.brakeMeanEffectivePressure,
    {
      power: (2 * Math.PI * 230 * 3000) / 60,
      revolutions: 2,
      displacement: 4 * 550.4266678630169 * cm3,
      speed: 3000,
    },
    1312738.6,
    2e-6,
    MEP_EXAMPLE,
  ),
  outsideValue(
    cylinder.brakeMeanEffectivePressure,
    { power: 100 * kW, revolutions: 2, displacement: 3 * litre, speed: 5500 },
    7.27 * bar,
    5e-3,
    STONE_MEMORY,
  ),
  outsideValue(cylinder.crankTorque, { power: 100 * kW, speed: 5500 }, 174, 5e-3, STONE),
  outsideValue(
    cylinder.crankTorque,
    { power: 74.1 * kW, speed: 3000 },
    236,
    1e-3,
    `${STONE}: 236 Nm at 3000 rpm is 74.1 kW`,
  ),
  outsideValue(
    cylinder.brakeThermalEfficiency,
    { specificConsumption: 0.09e-6, heatingValue: 44e6 },
    0.253,
    5e-3,
    STONE_MEMORY,
  ),
];
