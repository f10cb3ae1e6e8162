import type { Family } from './check.ts';
import * as corrections from './fuel-corrections.ts';
import * as injectors from './fuel-injectors.ts';
import * as properties from './fuel-properties.ts';
import * as regulator from './fuel-regulator.ts';
import * as starting from './fuel-starting.ts';
import * as supply from './fuel-supply.ts';

export const fuel: Family = {
  id: 'fuel',
  title: 'Fuel',
  checks: [injectors, regulator, supply, properties, corrections, starting].flatMap((checks) =>
    Object.values(checks),
  ),
};
