import type { Family } from './check.ts';
import * as arrangement from './ignition-arrangement.ts';
import * as capacitive from './ignition-capacitive.ts';
import * as circuits from './ignition-circuits.ts';
import * as coil from './ignition-coil.ts';
import * as compression from './ignition-compression.ts';
import * as detonation from './ignition-detonation.ts';
import * as knock from './ignition-knock.ts';
import * as order from './ignition-order.ts';

export const ignition: Family = {
  id: 'ignition',
  title: 'Ignition and detonation',
  checks: [coil, capacitive, knock, detonation, compression, order, arrangement, circuits].flatMap((checks) =>
    Object.values(checks),
  ),
};
