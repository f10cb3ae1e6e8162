import * as servo from '../../../shared/physics/servo.ts';
import { outsideValue } from '../outside-value.ts';

const HAND = 'computed: by hand';

export const servoValues = [
  outsideValue(servo.lowestServoPosition, { base: 0.5, authority: 0.25, end: 0.1 }, 0.25, 1e-12, HAND),
  outsideValue(servo.lowestServoPosition, { base: 0.3, authority: 0.25, end: 0.1 }, 0.1, 1e-12, HAND),
  outsideValue(servo.highestServoPosition, { base: 0.5, authority: 0.25, end: 0.9 }, 0.75, 1e-12, HAND),
  outsideValue(servo.highestServoPosition, { base: 0.8, authority: 0.25, end: 0.9 }, 0.9, 1e-12, HAND),
];
