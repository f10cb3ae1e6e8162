import * as convention from './bus-convention.ts';
import * as coding from './bus-convention-coding.ts';
import * as messages from './bus-messages.ts';
import * as places from './bus-places.ts';
import * as signals from './bus-signals.ts';
import * as states from './bus-states.ts';
import * as units from './bus-units.ts';
import type { Family } from './check.ts';

export const bus: Family = {
  id: 'bus',
  title: 'Bus',
  checks: [
    ...[messages, places, signals, states, units, coding].flatMap((checks) => Object.values(checks)),
    ...[convention.busConventionIdentifier, convention.busConventionQuantity, convention.busConventionHeader],
  ],
};
