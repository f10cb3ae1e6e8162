import * as physics from '../physics/atmosphere.ts';
import type { PointValue } from './operating-point.ts';
import { apply } from './value.ts';

export const ambientPressure: PointValue = {
  id: 'ambient_pressure',
  label: 'Ambient pressure',
  derive: ({ conditions }) => apply(physics.ambientPressure, { altitude: conditions.pressureAltitude }),
};

export const ambientTemperature: PointValue = {
  id: 'ambient_temperature',
  label: 'Ambient temperature',
  derive: ({ conditions }) =>
    apply(physics.ambientTemperature, {
      altitude: conditions.pressureAltitude,
      deviation: conditions.isaDeviation,
    }),
};
