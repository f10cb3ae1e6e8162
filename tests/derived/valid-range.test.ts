import { expect, test } from 'vitest';
import { furtherNotesOf } from '../../server/formats/derive-report.ts';
import { ambientTemperature } from '../../shared/derived/atmosphere.ts';
import { chargeTemperature, compressorOutletTemperature } from '../../shared/derived/charge-air.ts';
import { outsideValidRange } from '../../shared/derived/valid-range.ts';
import { apply, type MaybeOperand } from '../../shared/derived/value.ts';
import {
  altitudeForPressure,
  aspiratedManifoldPressure,
  boostPressure,
  cycleTime,
  fuelMassPerCycle,
  injectorDuty,
  injectorPulseWidth,
  leanedLambda,
} from '../../shared/physics/index.ts';
import { analyseCase } from '../support/fixture.ts';

const at = (canonical: number): MaybeOperand => ({ canonical });
const outside = (result: ReturnType<typeof apply>) =>
  outsideValidRange(result!).map(({ term, canonical }) => [term.symbol, canonical]);

test('operands and result outside their ranges are named; the ends are inside', () => {
  expect(outside(apply(cycleTime, { revolutions: at(2), speed: at(50) }))).toEqual([]);
  expect(outside(apply(cycleTime, { revolutions: at(2), speed: at(20_000) }))).toEqual([]);
  expect(outside(apply(cycleTime, { revolutions: at(2), speed: at(20_001) }))).toEqual([['n', 20_001]]);
  expect(outside(apply(altitudeForPressure, { pressure: at(2000) }))).toEqual([
    ['p', 2000],
    ['H', expect.closeTo(26_386, 0)],
  ]);
});

test('a limit that is missed by rounding alone is kept', () => {
  expect(outside(apply(cycleTime, { revolutions: at(2), speed: at(50 - 1e-12) }))).toEqual([]);
});

test('no lean limit is not outside a range', () => {
  const operands = { lambda: at(0.9), lambdaAuthority: at(0.1), exhaustAuthority: at(0) };
  expect(outside(apply(leanedLambda, { ...operands, leanLimit: at(Infinity) }))).toEqual([]);
  expect(outside(apply(leanedLambda, { ...operands, leanLimit: at(0.4) }))).toEqual([['λ_l', 0.4]]);
});

test('each value names its own numbers, with the range in its unit', () => {
  const point = 'speed: 5500 rpm, throttle: 100 %, pressure_altitude: 30000 ft, isa_deviation: -120 K';
  const text = `based_on: ./complete.engine.yaml\noperating_points: { cold: { ${point} } }\n`;
  const { derivation } = analyseCase(new Map([['case.engine.yaml', text]]));
  const cold = derivation!.point('cold')!;
  expect(furtherNotesOf(cold.get(ambientTemperature)!)).toEqual([
    'deviation from standard temperature -120 K is outside -60 to 60 K, the range in which this formula is meant to hold',
  ]);
  expect(furtherNotesOf(cold.get(compressorOutletTemperature)!)).toEqual([
    'ambient temperature 109 K is outside 200 to 330 K, the range in which this formula is meant to hold',
  ]);
  expect(furtherNotesOf(cold.get(chargeTemperature)!)[0]).toContain('compressor outlet temperature');
  expect(furtherNotesOf(derivation!.point('cruise')!.get(ambientTemperature)!)).toEqual([]);
});

test('what is physically impossible has no value', () => {
  const fuel = { airMass: at(5e-4), stoichiometricRatio: at(14.7), warmUpEnrichment: at(1) };
  const mass = (lambda: number) =>
    apply(fuelMassPerCycle, { ...fuel, lambda: at(lambda), chargeTemperatureCorrection: at(1) });
  expect(mass(1)?.canonical).toBeCloseTo(5e-4 / 14.7, 12);
  expect(mass(0)).toBeUndefined();
  expect(mass(-1)).toBeUndefined();

  const injector = {
    fuelDensity: at(745),
    injectorsPerCylinder: at(1),
    injections: at(1),
    deadTime: at(1e-3),
  };
  expect(apply(injectorPulseWidth, { ...injector, fuelMass: at(3e-5), flow: at(0) })).toBeUndefined();
  expect(
    apply(injectorDuty, { pulseWidth: at(-1e-3), injections: at(1), cycleTime: at(0.02) }),
  ).toBeUndefined();
  expect(
    apply(aspiratedManifoldPressure, { ambientPressure: at(1000), intakeLoss: at(2000) }),
  ).toBeUndefined();
});

test('a quantity that may be negative keeps its value', () => {
  const pressures = { manifoldPressure: at(30_000), ambientPressure: at(101_325) };
  expect(apply(boostPressure, pressures)?.canonical).toBe(-71_325);
});
