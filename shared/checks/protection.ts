import type { Family } from './check.ts';
import * as authority from './protection-authority.ts';
import * as effects from './protection-effects.ts';
import { singleFaultBeyondLimit } from './protection-faults.ts';
import * as fuel from './protection-fuel.ts';
import * as helpful from './protection-helpful.ts';
import { lightLostWithSensor } from './protection-lights.ts';
import * as limits from './protection-limits.ts';
import * as loops from './protection-loops.ts';
import { nameUnknown } from './protection-names.ts';
import * as normal from './protection-normal.ts';
import { faultNoteUnknown } from './protection-notes.ts';
import * as ranges from './protection-ranges.ts';
import * as reach from './protection-reach.ts';
import * as required from './protection-required.ts';
import * as speed from './protection-speed.ts';

export const protection: Family = {
  id: 'protection',
  title: 'Protection and loops',
  checks: [
    ...Object.values(limits),
    ...Object.values(normal),
    ...Object.values(reach),
    ...Object.values(speed),
    ...Object.values(loops),
    ...Object.values(ranges),
    ...Object.values(authority),
    ...Object.values(effects),
    ...Object.values(required),
    ...Object.values(helpful),
    ...Object.values(fuel),
    singleFaultBeyondLimit,
    lightLostWithSensor,
    nameUnknown,
    faultNoteUnknown,
  ],
};
