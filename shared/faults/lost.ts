import type { EngineConfiguration } from '../../generated/configuration.ts';
import { messagesOf } from '../derived/bus-signals.ts';
import { knownQuantities } from '../derived/known-quantities.ts';
import { outputsThatDrive } from '../derived/loads.ts';
import type { Loss } from '../derived/loss.ts';

/** The quantities that are no longer known, as a test of a quantity's name. */
export function lostQuantities(
  configuration: EngineConfiguration,
  { sensors }: Loss,
): (name: string) => boolean {
  const left = Object.entries(configuration.sensors ?? {}).filter(([name]) => !sensors.has(name));
  const wasKnown = knownQuantities(configuration);
  const isKnown = knownQuantities({ ...configuration, sensors: Object.fromEntries(left) });
  return (name) => wasKnown(name) && !isKnown(name);
}

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
    Object.keys(message.signals ?? {})
      .filter((quantity) => loss.bus || isLost(quantity))
      .map((quantity) => `bus.messages.${name}.signals.${quantity}`),
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
