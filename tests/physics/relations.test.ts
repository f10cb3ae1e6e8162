import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as physics from '../../shared/physics/index.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('the standard atmosphere', () => {
  test('pressure altitude is the inverse of ambient pressure', () => {
    fc.assert(
      fc.property(between(-5000, 20000), (altitude) => {
        const back = physics.altitudeForPressure({ pressure: physics.ambientPressure({ altitude }) });
        expect(back).toBeCloseTo(altitude, 6);
      }),
    );
  });

  test('pressure falls all the way up', () => {
    fc.assert(
      fc.property(between(-5000, 19990), between(1, 10), (altitude, higher) => {
        const below = physics.ambientPressure({ altitude });
        expect(physics.ambientPressure({ altitude: altitude + higher })).toBeLessThan(below);
      }),
    );
  });

  test('nothing jumps at the tropopause', () => {
    const below = physics.ambientPressure({ altitude: 11000 - 1e-6 });
    expect(physics.ambientPressure({ altitude: 11000 + 1e-6 }) / below).toBeCloseTo(1, 8);
    expect(physics.ambientTemperature({ altitude: 11000 + 1e-6, deviation: 0 })).toBeCloseTo(216.65, 6);
  });

  test('a hot day changes the temperature, not the pressure altitude', () => {
    const standard = physics.ambientTemperature({ altitude: 2000, deviation: 0 });
    expect(physics.ambientTemperature({ altitude: 2000, deviation: 15 })).toBeCloseTo(standard + 15, 9);
  });
});

describe('the charge', () => {
  test('more pressure makes it hotter, a better compressor cooler', () => {
    fc.assert(
      fc.property(between(1.1, 5), between(0.3, 0.9), (pressureRatio, efficiency) => {
        const outlet = (more: { pressureRatio?: number; efficiency?: number } = {}) =>
          physics.compressorOutletTemperature({
            ambientTemperature: 288,
            pressureRatio,
            efficiency,
            ...more,
          });
        expect(outlet({ pressureRatio: pressureRatio * 1.01 })).toBeGreaterThan(outlet());
        expect(outlet({ efficiency: efficiency * 1.01 })).toBeLessThan(outlet());
      }),
    );
  });

  test('no pressure rise, no heat', () => {
    expect(
      physics.compressorOutletTemperature({ ambientTemperature: 288, pressureRatio: 1, efficiency: 0.7 }),
    ).toBe(288);
  });

  test('an intercooler brings it between outlet and ambient temperature', () => {
    fc.assert(
      fc.property(between(288, 500), between(0, 1), (outletTemperature, effectiveness) => {
        const charge = physics.chargeTemperature({
          outletTemperature,
          effectiveness,
          ambientTemperature: 288,
        });
        expect(charge).toBeGreaterThanOrEqual(288 - 1e-9);
        expect(charge).toBeLessThanOrEqual(outletTemperature);
      }),
    );
  });

  test('at the critical pressure the compressor just reaches the target, absolute or gauge', () => {
    const plant = { intakeLoss: 1500, maximumPressureRatio: 2.4, coolerLoss: 5000 };
    fc.assert(
      fc.property(between(60000, 250000), (target) => {
        const ambientPressure = physics.criticalPressure({ manifoldPressure: target, ...plant });
        expect(physics.availableManifoldPressure({ ambientPressure, ...plant })).toBeCloseTo(target, 5);
      }),
    );
    fc.assert(
      fc.property(between(0, 150000), (boostPressure) => {
        const ambientPressure = physics.criticalPressureForBoost({ boostPressure, ...plant });
        const available = physics.availableManifoldPressure({ ambientPressure, ...plant });
        expect(available - ambientPressure).toBeCloseTo(boostPressure, 5);
      }),
    );
  });
});

describe('the injector', () => {
  const injector = { staticFlow: 6e-6, ratedPressure: 3e5, testFluidDensity: 690, fuelDensity: 745 };

  test('four times the pressure gives twice the flow', () => {
    const flow = (railDrop: number) => physics.injectorFlow({ ...injector, railDrop });
    expect(flow(4e5)).toBeCloseTo(2 * flow(1e5), 12);
  });

  test('no flow, and an endless pulse, where the manifold stands at or above the rail', () => {
    for (const railDrop of [0, -1, -1e5]) {
      const flow = physics.injectorFlow({ ...injector, railDrop });
      expect(flow).toBe(0);
      const pulse = { fuelMass: 3e-5, flow, fuelDensity: 745, injectorsPerCylinder: 1, injections: 1 };
      expect(physics.injectorPulseWidth({ ...pulse, deadTime: 1e-3 })).toBe(Number.POSITIVE_INFINITY);
    }
  });

  test('splitting the fuel over two openings costs one more dead time', () => {
    const one = { fuelMass: 3e-5, flow: 6e-6, fuelDensity: 745, injectorsPerCylinder: 1, deadTime: 1e-3 };
    const duty = (injections: number) =>
      physics.injectorDuty({
        pulseWidth: physics.injectorPulseWidth({ ...one, injections }),
        injections,
        cycleTime: 0.02,
      });
    expect(duty(2) - duty(1)).toBeCloseTo(one.deadTime / 0.02, 12);
  });
});

describe('the coil', () => {
  const coil = { resistance: 0.55, inductance: 3.2e-3 };

  test('dwell is the inverse of current', () => {
    fc.assert(
      fc.property(between(8, 16), between(1e-4, 8e-3), (voltage, dwell) => {
        const current = physics.coilCurrent({ ...coil, voltage, dwell });
        expect(physics.dwellForCurrent({ ...coil, voltage, current })).toBeCloseTo(dwell, 9);
      }),
    );
  });

  test('a weak battery asks for more dwell, then for ever more', () => {
    const dwell = (voltage: number) => physics.dwellForCurrent({ ...coil, voltage, current: 7 });
    expect(dwell(9)).toBeGreaterThan(dwell(14));
    expect(dwell(7 * 0.55)).toBe(Number.POSITIVE_INFINITY);
    expect(dwell(3)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('the sparks of one coil', () => {
  test.each([
    ['per-cylinder', 1],
    ['wasted-spark', 2],
    ['distributor', 4],
  ] as const)('%s of four cylinders: %i a cycle', (arrangement, sparks) => {
    expect(physics.sparksPerCycle(arrangement, 4)).toBe(sparks);
  });

  test('a distributor has the engine\u2019s own firing interval', () => {
    const engine = { revolutions: 2, speed: 5500 };
    const sparks = physics.sparksPerCycle('distributor', 6);
    expect(physics.coilInterval({ ...engine, sparks })).toBe(
      physics.firingInterval({ ...engine, cylinders: 6 }),
    );
  });

  test('firing angle and firing interval are the same turn of the crank', () => {
    const engine = { revolutions: 2, cylinders: 4 };
    const time = physics.firingInterval({ ...engine, speed: 5500 });
    expect(physics.sweptAngle({ speed: 5500, time })).toBeCloseTo(physics.firingAngle(engine), 9);
  });
});
