import type { Family } from './check.ts';
import * as position from './sensors-position.ts';
import * as range from './sensors-range.ts';
import * as required from './sensors-required.ts';
import * as scaling from './sensors-scaling.ts';
import * as substitute from './sensors-substitute.ts';
import * as usualSubstitute from './sensors-substitute-usual.ts';
import * as temperature from './sensors-temperature.ts';
import * as thermistors from './sensors-thermistors.ts';
import * as use from './sensors-use.ts';
import * as values from './sensors-values.ts';

export const sensors: Family = {
  id: 'sensors',
  title: 'Sensors',
  checks: [
    ...Object.values(scaling),
    ...Object.values(values),
    ...Object.values(substitute),
    ...Object.values(usualSubstitute),
    ...Object.values(temperature),
    ...Object.values(thermistors),
    ...Object.values(position),
    ...Object.values(range),
    ...Object.values(required),
    ...Object.values(use),
  ],
};
