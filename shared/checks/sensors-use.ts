import { knownQuantities } from '../configuration/known-quantities.ts';
import { eachReading } from '../configuration/readings.ts';
import { sensorsByQuantity } from '../derived/sensor-reading.ts';
import { groupedBy } from '../grouped-by.ts';
import { memoMap } from '../memo.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { mappingOfKey, pathOf } from '../source/tree.ts';
import { missingSensor } from './causes.ts';
import { type Check, type EngineSubject, engineCheck, type Found, type PlacedTable } from './check.ts';
import { checkEach } from './each.ts';
import { quote } from './form-words.ts';
import { type Watcher, watchers, watchersOfTables } from './watchers.ts';

export const switchWithoutReader: Check = engineCheck({
  id: 'switch-without-reader',
  severity: 'warning',
  title: 'Unused switch',
  page: {
    catches:
      'A switch under `inputs` that selects neither the map set nor the standby controller. `unused-sensor` reports a switch under `sensors`.',
    why: 'The pilot moves the switch and believes that something has changed: that full power is available for take-off, or that the lean map set is off.',
    example: 'inputs:\n  mode_switch: { kind: switch, pin: A15 }   # and map_sets.selector names another',
    remedy: 'Name it as the `selector` of the map sets, or remove it.',
    basis: 'Only the selectors of the map sets and of the standby controller use a switch.',
  },
  *find({ installation: { configuration } }) {
    const { inputs, map_sets: mapSets, standby } = configuration;
    const selectors = [mapSets?.selector, standby?.selector].flatMap((one) => one?.text ?? []);
    // A selector that names no input is reported by itself, and may mean any switch.
    if (inputs && selectors.some((name) => !Object.hasOwn(inputs, name))) return;
    for (const [name, { kind }] of Object.entries(inputs ?? {})) {
      if (kind?.text !== 'switch' || selectors.includes(name)) continue;
      yield { at: kind.node, message: `Nothing uses the switch ${quote(name)}.` };
    }
  },
});

export const quantityNotMeasured: Check = engineCheck({
  id: 'quantity-not-measured',
  severity: 'warning',
  title: 'Sensor missing for used quantity',
  page: {
    catches:
      'A limit, a loop, a bus signal or a table with a quantity that no sensor measures and that the controller does not know by itself. It is an error for the tables of fuel, spark and boost. All uses of one quantity are reported as one finding.',
    why: 'A map over a quantity without a reading is read at one edge, whatever the engine does. A limit without a reading never trips, and a display shows a meaningless number.',
    example:
      'protection:\n  oil_pressure_low: { watches: oil_pressure, below: { warning: 0.7 bar gauge }, action: [light] }   # no oil pressure sensor',
    remedy: 'Add the sensor, or remove what depends on it.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines }, tables }) {
    // Without a `sensors` section nothing is known about what is measured.
    if (!configuration.sensors) return;
    const cylinders = configuration.engine?.cylinders?.canonical ?? Infinity;
    const configurations = engines.map((engine) => engine.configuration);
    const ofTables = watchersOfTables(tables, undefined);
    for (const [isGiven, alike] of groupedBy(configurations, knownQuantities)) {
      for (const found of notGivenEach([...ofTables, ...watchers(alike)], isGiven))
        if (!isOfNoCylinder(found.at, cylinders)) yield found;
    }
  },
});

/** `name-unknown` reports a text, but not a key, that names a cylinder which does not exist. */
function isOfNoCylinder(at: Found['at'], cylinders: number): boolean {
  if (!('type' in at) || at.type !== 'scalar' || mappingOfKey(at)) return false;
  return (measuredQuantity(at.text)?.index ?? 0) > cylinders;
}

/** Whether another quantity of the same kind is measured, such as that of another cylinder. */
const isOtherGiven = (quantity: string, isGiven: (name: string) => boolean): boolean =>
  isGiven(measuredQuantity(quantity)!.entry.name);

/** A controller without a charge temperature reads tables over it at the intake air temperature. */
const isReplaced = (quantity: string, isGiven: (name: string) => boolean): boolean =>
  quantity === 'charge_temperature' && isGiven('intake_air_temperature');

const notGivenEach = checkEach((list: readonly Watcher[], isGiven: (name: string) => boolean) =>
  list
    .filter(({ quantity, isVital }) => !isGiven(quantity) && !(isVital && isReplaced(quantity, isGiven)))
    .map(({ at, who, quantity, isVital }) => ({
      at,
      severity: isVital ? 'error' : 'warning',
      message: `${who} ${quote(quantity)}, but no sensor measures it.`,
      cause: missingSensor(quantity, isOtherGiven(quantity, isGiven)),
    })),
);

/** The quantities that every controller uses: positions of crank and throttle, pressure and temperature of the air. */
const ALWAYS_USED: ReadonlySet<string> = new Set([
  'crank_position',
  'cam_position',
  'engine_speed',
  'manifold_pressure',
  'ambient_pressure',
  'pressure_altitude',
  'charge_temperature',
  'intake_air_temperature',
  'throttle_position',
  'battery_voltage',
]);

/** The quantities that anything except a sensor names, without their indexes. */
function usedQuantities({ read, tables, installation: { engines } }: EngineSubject): Set<string> {
  const used = new Set([...ALWAYS_USED, ...namedEach(read, undefined)]);
  const lists = watchers(engines.map(({ configuration }) => configuration));
  for (const names of [...axesOfEach(tables, undefined), ...watchedByEach(lists, undefined)])
    for (const name of names) used.add(name);
  return used;
}

/** The names of quantities without their indexes; unknown names are left out. */
const withoutNumbers = (names: readonly string[]): readonly string[] =>
  names.flatMap((name) => measuredQuantity(name)?.entry.name ?? []);

const namedEach = eachReading(['text'], ({ node, shape, value }) =>
  shape.names === 'quantity' && pathOf(node)[0] !== 'sensors' ? withoutNumbers([value.text]) : [],
);

const axesOfEach = memoMap(({ table }: PlacedTable) =>
  withoutNumbers([table.x, table.y].flatMap((axis) => axis?.quantity ?? [])),
);

const watchedByEach = memoMap((list: readonly Watcher[]) =>
  withoutNumbers(list.map(({ quantity }) => quantity)),
);

/** The sensors that loops name. */
function loopSensors({ installation: { engines } }: EngineSubject): Set<string> {
  const names = engines.flatMap(({ configuration: { closed_loop: loops } }) => [
    loops?.lambda?.sensor?.text,
    loops?.knock?.sensor?.text,
    loops?.fuel_pressure?.sensor?.text,
  ]);
  return new Set(names.flatMap((name) => name ?? []));
}

export const unusedSensor: Check = engineCheck({
  id: 'unused-sensor',
  severity: 'information',
  title: 'Unused sensor',
  page: {
    catches: 'A sensor whose quantity no table, limit, loop or bus signal uses.',
    why: 'The sensor is wired for nothing, or a limit or signal that should use it is missing.',
    example:
      'sensors:\n  fuel_temperature: { measures: fuel_temperature, kind: thermistor, pin: A10 }   # and nothing reads it',
    remedy: 'Add the limit or signal that it is meant for, or remove the sensor.',
    basis: 'The uses of the quantity in the file.',
  },
  *find(subject) {
    const used = usedQuantities(subject);
    const named = loopSensors(subject);
    const { sensors } = subject.installation.configuration;
    for (const [quantity, alike] of sensors ? sensorsByQuantity(sensors) : []) {
      if (used.has(quantity)) continue;
      for (const [name, sensor] of alike) {
        if (named.has(name)) continue;
        yield {
          at: sensor.measures!.node,
          message: `No table, limit or bus signal uses the quantity ${quote(quantity)}, and no loop uses the sensor ${quote(name)}.`,
        };
      }
    }
  },
});
