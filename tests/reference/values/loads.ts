import * as loads from '../../../shared/physics/loads.ts';
import { outsideValue } from '../outside-value.ts';

const ARITHMETIC = 'computed: by hand';
const POWER = 'computed: by hand, a lamp of 21 W at 12 V takes 21/12 A and is 12²/21 ohm';

export const loadValues = [
  outsideValue(loads.driverLoad, { resistance: 12, count: 2 }, 6, 0, ARITHMETIC),
  outsideValue(loads.driverLoad, { resistance: 13.8, count: 4 }, 3.45, 1e-12, ARITHMETIC),
  outsideValue(loads.loadCurrent, { voltage: 14, resistance: 12 }, 1.1666667, 1e-7, ARITHMETIC),
  outsideValue(loads.loadCurrent, { voltage: 12, resistance: 144 / 21 }, 1.75, 1e-12, POWER),
  outsideValue(
    loads.currentOfInjectors,
    { cylinders: 4, perCylinder: 1, duty: 0.6, voltage: 14, resistance: 12 },
    2.8,
    1e-12,
    ARITHMETIC,
  ),
  outsideValue(
    loads.currentOfInjectors,
    { cylinders: 4, perCylinder: 2, duty: 1.2, voltage: 12, resistance: 12 },
    8,
    1e-12,
    'computed: by hand, open all the time and no longer',
  ),
  outsideValue(loads.currentOfCoils, { coils: 4, share: 0.175, current: 8 }, 5.6, 1e-12, ARITHMETIC),
  outsideValue(
    loads.currentOfCoils,
    { coils: 2, share: 1.5, current: 8 },
    16,
    0,
    'computed: by hand, charging all the time and no longer',
  ),
  outsideValue(loads.currentOfHeaters, { heaters: 2, current: 1.2 }, 2.4, 1e-12, ARITHMETIC),
  outsideValue(
    loads.currentBudget,
    { injectors: 2.8, coils: 5.6, heaters: 1.2, outputs: 0.9, relayed: 5 },
    15.5,
    1e-12,
    ARITHMETIC,
  ),
];
