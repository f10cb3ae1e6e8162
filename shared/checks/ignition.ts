import type { Family } from './check.ts';
import * as arrangement from './ignition-arrangement.ts';
import * as coil from './ignition-coil.ts';
import * as compression from './ignition-compression.ts';
import * as detonation from './ignition-detonation.ts';
import * as knock from './ignition-knock.ts';
import * as order from './ignition-order.ts';

export const ignition: Family = {
  id: 'ignition',
  title: 'Ignition and detonation',
  checks: [coil, knock, detonation, compression, order, arrangement].flatMap((checks) =>
    Object.values(checks),
  ),
};
