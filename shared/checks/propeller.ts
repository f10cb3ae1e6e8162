import type { Family } from './check.ts';
import * as drive from './propeller-drive.ts';
import * as limits from './propeller-limits.ts';

export const propeller: Family = {
  id: 'propeller',
  title: 'Gearbox and propeller',
  checks: [drive, limits].flatMap((checks) => Object.values(checks)),
};
