import type { Family } from './check.ts';
import { mapSetChangesHardware } from './map-sets-hardware.ts';
import { mapSetExceedsBaseLimit } from './map-sets-limits.ts';
import * as selection from './map-sets-selection.ts';

export const mapSets: Family = {
  id: 'map-sets',
  title: 'Map sets',
  checks: [...Object.values(selection), mapSetExceedsBaseLimit, mapSetChangesHardware],
};
