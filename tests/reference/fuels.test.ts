import { expect, test } from 'vitest';
import { type GradeName, grades } from '../../shared/physics/fuels.ts';

/** MJ/kg: 1 Btu/lb is 2326 J/kg by definition. */
const BTU_PER_LB = 2326e-6;

test.each([
  ['mogas-e0', 18676],
  ['ethanol', 11585],
  ['methanol', 8637],
] as const)('the heating value of %s is the %i Btu/lb of the AFDC property table', (name, printed) => {
  expect(grades[name].lowerHeatingValue / 1e6).toBeCloseTo(printed * BTU_PER_LB, 2);
});

test.each([
  // kJ/kg of liquid fuel from the ATcT 1.112 heats of formation, 25 °C.
  ['ethanol', 26.8159],
  ['methanol', 19.9338],
] as const)('the heating value of %s is within 1 %% of its heat of formation', (name, computed) => {
  const deviation = Math.abs(grades[name].lowerHeatingValue / 1e6 / computed - 1);
  expect(deviation).toBeLessThan(0.01);
});

test.each([
  // Computed from ideal mixing: ratio, density in kg/L.
  ['mogas-e0', 14.6035, 0.745],
  ['mogas-e5', 14.3063, 0.74744],
  ['mogas-e10', 14.0109, 0.74987],
  ['e85', 9.8005, 0.78639],
  ['ethanol', 9.0049, 0.7937],
  ['methanol', 6.4735, 0.7943],
] as const)('%s burns at %f to 1 and weighs %f kg/L', (name, ratio, density) => {
  expect(grades[name].stoichiometricRatio).toBeCloseTo(ratio, 3);
  expect(grades[name].density / 1000).toBeCloseTo(density, 4);
});

test('motor gasolines are within EN 228, 720 to 775 kg/m³ (from memory: EN 228:2012)', () => {
  for (const name of ['mogas-e0', 'mogas-e5', 'mogas-e10'] as const) {
    expect(grades[name].density).toBeGreaterThanOrEqual(720);
    expect(grades[name].density).toBeLessThanOrEqual(775);
  }
});

test('avgas burns at 14.8 to 15.1 (from memory) and weighs 6.01 lb/gal (published, Wikipedia)', () => {
  for (const name of ['avgas-100ll', 'ul91'] as const) {
    expect(grades[name].stoichiometricRatio).toBeGreaterThan(14.8);
    expect(grades[name].stoichiometricRatio).toBeLessThan(15.1);
    expect(grades[name].density * (3.785411784e-3 / 0.45359237)).toBeCloseTo(6.01, 1);
  }
});

test('more ethanol asks for less air and holds less heat', () => {
  const order: readonly GradeName[] = ['mogas-e0', 'mogas-e5', 'mogas-e10', 'e85', 'ethanol'];
  const ratios = order.map((name) => grades[name].stoichiometricRatio);
  const heats = order.map((name) => grades[name].lowerHeatingValue);
  const falling = (numbers: number[]) => [...numbers].sort((a, b) => b - a);
  expect(ratios).toEqual(falling(ratios));
  expect(heats).toEqual(falling(heats));
});
