import * as boost from './air-boost.ts';
import * as engine from './air-engine.ts';
import * as limits from './air-limits.ts';
import * as points from './air-points.ts';
import * as servo from './air-servo.ts';
import * as speeds from './air-speeds.ts';
import type { Family } from './check.ts';

export const air: Family = {
  id: 'air',
  title: 'Air and boost',
  checks: [boost, limits, servo, engine, speeds, points].flatMap((checks) => Object.values(checks)),
};
