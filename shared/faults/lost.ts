import type { EngineConfiguration } from '../../generated/configuration.ts';
import { knownQuantities, sensorsOfFirst } from '../configuration/known-quantities.ts';
import { messagesOf, signalsOf } from '../derived/bus-signals.ts';
import { isStatus } from '../derived/bus-states.ts';
import { outputsThatDrive } from '../derived/loads.ts';
import type { Loss } from '../derived/loss.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';

/** The quantities that are no longer known, as a test of a quantity's name. */
export function lostQuantities(
  configuration: EngineConfiguration,
  { sensors }: Loss,
): (name: string) => boolean {
  const measuring = namesByMeasured(sensorsOfFirst(configuration.sensors ?? {}, configuration.standby));
  const left = [...measuring.values()].flatMap((names) => names.find((name) => !sensors.has(name)) ?? []);
  // Another sensor measures the same.
  if (left.length === measuring.size) return () => false;
  const wasKnown = knownQuantities(configuration);
  // One sensor for each quantity is enough to know it.
  const remaining = Object.fromEntries(left.map((name) => [name, configuration.sensors![name]!]));
  const isKnown = knownQuantities({ ...configuration, sensors: remaining });
  return (name) => wasKnown(name) && !isKnown(name);
}

/** The names of the sensors by what they measure, as it is written; those that state nothing are left out. */
const namesByMeasured = memo((sensors: NonNullable<EngineConfiguration['sensors']>) =>
  groupedBy(
    Object.keys(sensors).filter((name) => sensors[name]!.measures !== undefined),
    (name) => sensors[name]!.measures!.text,
  ),
);

/** What no longer works, by what it is. */
export interface Lost {
  readonly parts: readonly string[];
  readonly limits: readonly string[];
  readonly loops: readonly string[];
  readonly signals: readonly string[];
}

/** The key paths of everything that no longer works. */
export function lostWith(configuration: EngineConfiguration, loss: Loss): Lost {
  const isLost = loss.controller ? () => true : lostQuantities(configuration, loss);
  const below = (section: string, names: Iterable<string>) => [...names].map((name) => `${section}.${name}`);
  const limits = limitsLost(configuration, isLost);
  const signals = messagesOf(configuration).flatMap(({ name, message }) =>
    signalsOf(message)
      .filter(({ name: quantity, signal }) => loss.bus || (!isStatus(signal) && isLost(quantity)))
      .map(({ name: quantity }) => `bus.messages.${name}.signals.${quantity}`),
  );
  return {
    parts: [
      ...below('sensors', loss.sensors),
      ...below('inputs', loss.inputs),
      ...below('outputs', [...loss.outputs, ...loss.held]),
    ],
    limits: below('protection', limits),
    loops: loopsLost(configuration, loss, isLost),
    signals,
  };
}

const limitsLost = ({ protection }: EngineConfiguration, isLost: (name: string) => boolean): string[] =>
  Object.entries(protection ?? {}).flatMap(([name, { watches }]) =>
    watches && isLost(watches.text) ? [name] : [],
  );

/** The closed loops, boost control and the overboost cut that lack their sensor or actuator. */
function loopsLost(
  configuration: EngineConfiguration,
  loss: Loss,
  isLost: (name: string) => boolean,
): string[] {
  const { closed_loop: loops, boost } = configuration;
  const lacks = (sensor: string | undefined, quantity: string) =>
    loss.controller || (sensor === undefined ? isLost(quantity) : loss.sensors.has(sensor));
  const wastegates = (['wastegate-servo', 'wastegate-valve'] as const).flatMap((load) =>
    outputsThatDrive(configuration, load),
  );
  const isWastegateLost = wastegates.some(({ name }) => loss.outputs.has(name));
  const isPressureLost = isLost('manifold_pressure');
  const paths: (readonly [path: string, isLost: boolean])[] = [
    ['closed_loop.lambda', loops?.lambda !== undefined && lacks(loops.lambda.sensor?.text, 'lambda')],
    [
      'closed_loop.exhaust_gas_temperature',
      loops?.exhaust_gas_temperature !== undefined && lacks(undefined, 'exhaust_gas_temperature'),
    ],
    ['closed_loop.knock', loops?.knock !== undefined && lacks(loops.knock.sensor?.text, 'knock_intensity')],
    [
      'closed_loop.fuel_pressure',
      loops?.fuel_pressure?.compensate?.flag === true &&
        lacks(loops.fuel_pressure.sensor?.text, 'fuel_pressure'),
    ],
    ['boost.target', boost !== undefined && (isWastegateLost || isPressureLost)],
    ['boost.overboost_cut', boost?.overboost_cut !== undefined && isPressureLost],
  ];
  return paths.flatMap(([path, isGone]) => (isGone ? [path] : []));
}
