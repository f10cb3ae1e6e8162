import { knockFrequency } from '../../../shared/physics/knock.ts';
import { mm, outsideValue } from '../outside-value.ts';

const DRAPER = 'computed: zero of the Bessel derivative by scipy 1.10.1 and mpmath 1.2.1, 950 m/s';

export const knockValues = [
  outsideValue(knockFrequency, { bore: 72 * mm }, 7732.828, 1e-6, DRAPER),
  outsideValue(knockFrequency, { bore: 84 * mm }, 6628.139, 1e-6, DRAPER),
  outsideValue(knockFrequency, { bore: 130.17 * mm }, 4277.204, 1e-6, DRAPER),
  outsideValue(
    knockFrequency,
    { bore: 86 * mm },
    6662.3,
    0.05,
    'from memory: rule of thumb 900/(π · bore radius in mm) in kHz, which takes 978 m/s',
  ),
];
