import type { Family } from './check.ts';
import * as injectors from './fuel-injectors.ts';
import * as supply from './fuel-supply.ts';

export const fuel: Family = {
  id: 'fuel',
  title: 'Fuel',
  checks: [...Object.values(injectors), ...Object.values(supply)],
};
