import type { Family } from './check.ts';
import { mapSetChangesHardware } from './map-sets-hardware.ts';
import { mapSetExceedsBaseLimit } from './map-sets-limits.ts';
import * as selection from './map-sets-selection.ts';
import * as tables from './map-sets-tables.ts';

export const mapSets: Family = {
  id: 'map-sets',
  title: 'Map sets',
  checks: [
    ...Object.values(selection),
    ...Object.values(tables),
    mapSetExceedsBaseLimit,
    mapSetChangesHardware,
  ],
};
