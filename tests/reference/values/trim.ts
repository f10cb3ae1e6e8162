import * as trim from '../../../shared/physics/trim.ts';
import { mg, outsideValue } from '../outside-value.ts';

/** L/h in m³/s. */
const litrePerHour = 1e-3 / 3600;
const HAND = 'computed: by hand, from the definition';

export const trimValues = [
  outsideValue(trim.trimmedFuelMass, { fuelMass: 40 * mg, trim: 0.09 }, 43.6 * mg, 1e-12, HAND),
  outsideValue(trim.trimmedFuelMass, { fuelMass: 40 * mg, trim: -0.025 }, 39 * mg, 1e-12, HAND),
  outsideValue(trim.trimSum, { first: 0.05, second: -0.02 }, 0.03, 1e-12, HAND),
  outsideValue(
    trim.trimmedFuelFlow,
    { volumeFlow: 40 * litrePerHour, trims: 0.1, cylinders: 4 },
    41 * litrePerHour,
    1e-12,
    HAND,
  ),
  outsideValue(trim.trimmedLambda, { lambda: 0.84, trim: 0.05 }, 0.8, 1e-12, HAND),
  outsideValue(trim.trimmedLambda, { lambda: 0.9, trim: -0.1 }, 1, 1e-12, HAND),
];
