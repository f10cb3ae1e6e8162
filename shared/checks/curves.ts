import type { Family } from './check.ts';
import * as axes from './curves-axes.ts';
import * as cells from './curves-cells.ts';
import * as reach from './curves-reach.ts';
import * as surface from './curves-surface.ts';
import * as mixture from './mixture-lean.ts';

export const curves: Family = {
  id: 'curves',
  title: 'Curves and maps',
  checks: [axes, reach, surface, cells, mixture].flatMap((part) => Object.values(part)),
};
