import { air } from './air.ts';
import { bus } from './bus.ts';
import type { Check, Family } from './check.ts';
import { curves } from './curves.ts';
import { departures } from './departures.ts';
import { form } from './form.ts';
import { fuel } from './fuel.ts';
import { ignition } from './ignition.ts';
import { mapSets } from './map-sets.ts';
import { propeller } from './propeller.ts';
import { protection } from './protection.ts';
import { runs } from './runs.ts';
import { sensors } from './sensors.ts';
import { standby } from './standby.ts';
import { storage } from './storage.ts';
import { wiring } from './wiring.ts';

/** Every family of checks, in the order of the reference. A new family is one line here. */
export const families: readonly Family[] = [
  form,
  curves,
  fuel,
  ignition,
  air,
  propeller,
  sensors,
  wiring,
  protection,
  mapSets,
  standby,
  bus,
  storage,
  runs,
  departures(() => allChecks),
];

export const allChecks: readonly Check[] = families.flatMap((family) => family.checks);

export function checkNamed(id: string): Check | undefined {
  return allChecks.find((check) => check.id === id);
}
