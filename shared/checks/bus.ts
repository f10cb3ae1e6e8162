import * as messages from './bus-messages.ts';
import * as places from './bus-places.ts';
import * as signals from './bus-signals.ts';
import * as states from './bus-states.ts';
import * as units from './bus-units.ts';
import type { Family } from './check.ts';

export const bus: Family = {
  id: 'bus',
  title: 'Bus',
  checks: [messages, places, signals, states, units].flatMap((checks) => Object.values(checks)),
};
