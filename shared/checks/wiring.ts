import type { Family } from './check.ts';
import * as circuits from './wiring-circuits.ts';
import * as cylinders from './wiring-cylinders.ts';
import * as harness from './wiring-harness.ts';
import * as loads from './wiring-loads.ts';
import * as pins from './wiring-pins.ts';
import * as protectors from './wiring-protectors.ts';
import * as required from './wiring-required.ts';
import * as supplies from './wiring-supplies.ts';
import * as thermocouples from './wiring-thermocouples.ts';

export const wiring: Family = {
  id: 'wiring',
  title: 'Controller and wiring',
  checks: [
    ...Object.values(pins),
    ...Object.values(loads),
    ...Object.values(cylinders),
    ...Object.values(required),
    ...Object.values(harness),
    ...Object.values(circuits),
    ...Object.values(supplies),
    ...Object.values(thermocouples),
    ...Object.values(protectors),
  ],
};
