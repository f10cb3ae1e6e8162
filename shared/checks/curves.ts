import type { Family } from './check.ts';
import * as axes from './curves-axes.ts';
import * as cells from './curves-cells.ts';
import * as lines from './curves-lines.ts';
import * as reach from './curves-reach.ts';
import * as spacing from './curves-spacing.ts';
import * as surface from './curves-surface.ts';
import * as units from './curves-units.ts';
import * as mixture from './mixture-lean.ts';

export const curves: Family = {
  id: 'curves',
  title: 'Curves and maps',
  checks: [axes, spacing, reach, surface, lines, cells, units, mixture].flatMap((part) =>
    Object.values(part),
  ),
};
