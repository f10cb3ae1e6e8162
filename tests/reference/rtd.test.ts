import { expect, test } from 'vitest';
import { rtdResistance, rtdTemperature } from '../../shared/physics/rtd.ts';

/**
 * Pt100 table of IEC 60751, °C and ohm: to 600 °C as printed by sensorsci.com/reference.htm (its −160 °C
 * entry, 35.34, is a misprint for 35.54 and is left out), above from memory of the standard's table.
 */
const PRINTED = [
  [-200, 18.52],
  [-150, 39.72],
  [-100, 60.26],
  [-50, 80.31],
  [-40, 84.27],
  [-10, 96.09],
  [0, 100],
  [10, 103.9],
  [50, 119.4],
  [100, 138.51],
  [150, 157.33],
  [200, 175.86],
  [300, 212.05],
  [400, 247.09],
  [500, 280.98],
  [600, 313.71],
  [700, 345.28],
  [850, 390.48],
] as const;

test.each(PRINTED)('Pt100 at %d °C has the printed %d ohm', (celsius, ohm) => {
  const computed = rtdResistance({ resistanceAtZero: 100, temperature: celsius + 273.15 });
  expect(Math.abs(computed - ohm)).toBeLessThanOrEqual(0.005 + 1e-6);
});

test.each(PRINTED)('Pt1000 is ten times that: at %d °C', (celsius, ohm) => {
  const computed = rtdResistance({ resistanceAtZero: 1000, temperature: celsius + 273.15 });
  expect(Math.abs(computed - 10 * ohm)).toBeLessThanOrEqual(0.05 + 1e-5);
});

// 18.52 ohm, rounded down, is colder than −200 °C.
test.each(PRINTED.slice(1))('the printed resistance at %d °C reads as that temperature', (celsius, ohm) => {
  expect(Math.abs(rtdTemperature(ohm, 100)! - 273.15 - celsius)).toBeLessThan(0.02);
});
