import { knockFrequency, knockWindowTime, knockWindowWidth } from '../../../shared/physics/knock.ts';
import { mm, ms, outsideValue } from '../outside-value.ts';

const DRAPER = 'computed: zero of the Bessel derivative by scipy 1.10.1 and mpmath 1.2.1, 950 m/s';

const ANGLES = 'computed: by hand, 6000 rpm is 100 turns a second, so 10 ms a turn and 27.8 us a degree';

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
  outsideValue(knockWindowWidth, { from: -10, to: 60 }, 70, 0, 'computed: by hand'),
  outsideValue(knockWindowTime, { width: 36, speed: 6000 }, 1 * ms, 1e-12, ANGLES),
  outsideValue(knockWindowTime, { width: 360, speed: 6000 }, 10 * ms, 1e-12, ANGLES),
];
