import * as margins from '../../../shared/physics/margins.ts';
import { kPa, outsideValue } from '../outside-value.ts';

const HAND = 'computed: by hand, from the definition';
const usual = { highest: 34, boostStep: 2, compressionStep: 2 };

export const marginValues = [
  // 50 kPa above 100 kPa are five steps of 2 deg.
  outsideValue(margins.usualAdvance, { ...usual, pressure: 150 * kPa, compressionRatio: 9 }, 24, 1e-12, HAND),
  outsideValue(
    margins.usualAdvance,
    { ...usual, pressure: 90 * kPa, compressionRatio: 10.5 },
    33,
    1e-12,
    HAND,
  ),
  outsideValue(margins.advanceDifference, { advance: 26, from: 24 }, 2, 1e-12, HAND),
];
