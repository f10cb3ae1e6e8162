import { expect, test } from 'vitest';
import * as physics from '../../shared/physics/index.ts';

/**
 * One operating point from the atmosphere to the crank: an invented 1.3 L engine at 5500 rpm, 8000 ft, ISA + 15 K.
 * Every number on the right was computed by a separate script in Python 3.11, from the definitions, without rounding
 * between steps.
 */
test('the core chain of an operating point', () => {
  const speed = 5500;
  const altitude = 8000 * 0.3048;
  const plant = { intakeLoss: 1500, maximumPressureRatio: 2.4, coolerLoss: 5000 };

  const ambientTemperature = physics.ambientTemperature({ altitude, deviation: 15 });
  expect(ambientTemperature).toBeCloseTo(287.3004, 4);
  const ambientPressure = physics.ambientPressure({ altitude });
  expect(ambientPressure).toBeCloseTo(75262.36, 2);

  const available = physics.availableManifoldPressure({ ambientPressure, ...plant });
  expect(available).toBeCloseTo(172029.665, 3);
  const manifoldPressure = physics.manifoldPressure({ target: 150e3, available });
  const pressureRatio = physics.pressureRatio({ manifoldPressure, ambientPressure, ...plant });
  expect(pressureRatio).toBeCloseTo(2.1013427, 7);
  const outletTemperature = physics.compressorOutletTemperature({
    ambientTemperature,
    pressureRatio,
    efficiency: 0.7,
  });
  expect(outletTemperature).toBeCloseTo(384.30595, 5);
  const chargeTemperature = physics.chargeTemperature({
    outletTemperature,
    effectiveness: 0.65,
    ambientTemperature,
  });
  expect(chargeTemperature).toBeCloseTo(321.25234, 5);

  const critical = physics.criticalPressure({ manifoldPressure: 150e3, ...plant });
  expect(physics.altitudeForPressure({ pressure: critical })).toBeCloseTo(3462.359, 3);

  const cylinderVolume = physics.cylinderVolume({ bore: 0.076, stroke: 0.0715 });
  expect(cylinderVolume * 1e6).toBeCloseTo(324.35688, 5);
  const airMass = physics.airMassPerCycle({
    volumetricEfficiency: 0.9,
    manifoldPressure,
    cylinderVolume,
    chargeTemperature,
  });
  expect(airMass * 1e6).toBeCloseTo(474.84626, 5);
  const fuelMass = physics.fuelMassPerCycle({
    airMass,
    stoichiometricRatio: 14.3,
    lambda: 0.85,
    warmUpEnrichment: 1,
    chargeTemperatureCorrection: 1,
  });
  expect(fuelMass * 1e6).toBeCloseTo(39.06592, 5);

  const cycleTime = physics.cycleTime({ revolutions: physics.revolutionsPerCycle['four-stroke'], speed });
  const injections = physics.injectionsPerCycle.sequential;
  const pulseAndDuty = (railDrop: number): readonly [number, number, number] => {
    const flow = physics.injectorFlow({
      staticFlow: 380e-6 / 60,
      railDrop,
      ratedPressure: 3e5,
      testFluidDensity: 690,
      fuelDensity: 745,
    });
    const pulseWidth = physics.injectorPulseWidth({
      fuelMass,
      flow,
      fuelDensity: 745,
      injectorsPerCylinder: 1,
      injections,
      deadTime: 1e-3,
    });
    return [flow * 60e6, pulseWidth * 1e3, physics.injectorDuty({ pulseWidth, injections, cycleTime })];
  };
  const [flow, pulseWidth, duty] = pulseAndDuty(3e5);
  expect(flow).toBeCloseTo(365.70425, 5);
  expect(pulseWidth).toBeCloseTo(9.60326, 5);
  expect(duty).toBeCloseTo(0.4401494, 7);
  expect(pulseAndDuty(2.4e5)[2]).toBeCloseTo(0.4866921, 7);

  const fuelFlow = physics.fuelFlow({ fuelMass, cylinders: 4, cycleTime });
  expect(fuelFlow * 3600).toBeCloseTo(25.783507, 6);
  expect(physics.fuelVolumeFlow({ massFlow: fuelFlow, fuelDensity: 745 }) * 3.6e6).toBeCloseTo(34.608735, 6);
  const power = physics.estimatedPower({ fuelFlow, specificConsumption: 300 / 3.6e9 });
  expect(power).toBeCloseTo(85945.024, 3);
  const displacement = physics.displacement({ cylinders: 4, cylinderVolume });
  const meanPressure = physics.brakeMeanEffectivePressure({ power, revolutions: 2, displacement, speed });
  expect(meanPressure).toBeCloseTo(1445293.98, 2);
  expect(physics.meanPistonSpeed({ stroke: 0.0715, speed })).toBeCloseTo(13.108333, 6);
});
