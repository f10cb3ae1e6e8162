import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import { pinOfEnd, textsOf } from '../configuration/terminals.ts';
import { nodeOf, type TextValue } from '../configuration/values.ts';
import { groupedBy } from '../grouped-by.ts';
import { parallelResistance } from '../physics/divider.ts';
import { lookedUp } from '../physics/formula.ts';
import { circuitsOf, netsOf, placesOf } from './circuits.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { apply, type DerivedValue, derivedValue } from './value.ts';

const single = lookedUp('only-termination', 'Rₜ', 'the only resistor stated', 'ohm');

export const busTermination: FileValue = {
  id: 'bus_termination',
  label: 'Resistance of the terminated bus',
  derive({ installation: { configuration } }) {
    const { controller, far_end: farEnd } = configuration.bus?.termination ?? {};
    if (!controller && !farEnd) return [];
    const result =
      controller && farEnd
        ? apply(parallelResistance, { first: controller, second: farEnd })
        : apply(single, { found: controller ?? farEnd });
    return result ? [derivedValue(busTermination, result, nodeOf(configuration.bus!.termination!))] : [];
  },
};

const longestStub = lookedUp('bus-stub-length', 'l', 'a conductor that branches off at a splice', 'm');

/** Two of the conductors at a splice of the bus are its line; each further one is a stub. */
const OF_LINE = 2;

/**
 * The shortest that the longest stub of the bus can be: at a splice of n conductors, n − 2 of them are stubs, and taking the longest
 * two for the line gives the lowest value.
 */
export const busStubLength: FileValue = {
  id: 'bus_stub_length',
  label: 'Stub length of the bus',
  derive: ({ installation: { configuration } }) => {
    const circuits = circuitsOf(configuration);
    const nets = netsOf(circuits);
    const pins = configuration.bus?.pins?.items ?? [];
    const splices = pins.flatMap(({ text }) =>
      nets.with(`controller.${text}`).filter((end) => end.startsWith('splices.')),
    );
    return [...new Set(splices)].flatMap((splice) => {
      const isHere = ({ text }: TextValue) => text === splice;
      // A conductor leads from `from` to each of `to`.
      const conductors = circuits.flatMap(({ circuit: { from, to, length } }) =>
        (from && isHere(from) ? textsOf(to) : textsOf(to).filter(isHere)).map(() => length),
      );
      const known = conductors.filter((length) => length !== undefined);
      if (known.length < conductors.length) return [];
      const [stub] = known.toSorted((a, b) => b.canonical - a.canonical).slice(OF_LINE);
      const result = stub && apply(longestStub, { found: stub });
      return result ? [derivedValue(busStubLength, result, stub.node)] : [];
    });
  },
};

const supplied = lookedUp('sensor-supply-current', 'I_s', 'sum of the stated supply currents', 'A', 'mA');

/** The current that sensors take from one pin of the controller. */
export interface PinSupply {
  readonly pin: string;
  readonly value: DerivedValue;
}

/** The stated supply currents of the sensors on each pin, placed at the pin in the circuit. */
export function supplyCurrentOfPin({ installation: { configuration } }: Derivation): readonly PinSupply[] {
  const currents = suppliedSensors(configuration).flatMap(({ sensor: { supply_current: current }, pin }) =>
    current ? { pin, current } : [],
  );
  return [...groupedBy(currents, ({ pin }) => pinOfEnd(pin.text)!)].flatMap(([pin, own]) => {
    const canonical = own.reduce((sum, { current }) => sum + current.canonical, 0);
    const result = apply(supplied, {
      found: { canonical, how: `stated supply currents: ${own.length}` },
    });
    return result ? [{ pin, value: derivedValue(sensorSupplyCurrent, result, own[0]!.pin.node) }] : [];
  });
}

export const sensorSupplyCurrent: FileValue = {
  id: 'sensor_supply_current',
  label: 'Supply current of the sensors on the pin',
  derive: (derivation) => supplyCurrentOfPin(derivation).map(({ value }) => value),
};

/** A sensor, and a pin of the controller that supplies it through the circuits; both as a circuit names them. */
export interface SuppliedSensor {
  readonly name: string;
  readonly sensor: Sensor;
  readonly terminal: TextValue;
  readonly pin: TextValue;
}

export function suppliedSensors(configuration: EngineConfiguration): SuppliedSensor[] {
  const circuits = circuitsOf(configuration);
  const [nets, places] = [netsOf(circuits), placesOf(circuits)];
  return Object.entries(configuration.sensors ?? {}).flatMap(([name, sensor]) => {
    const terminal = places.get(`sensors.${name}.supply`);
    const ends = terminal ? nets.with(terminal.text) : [];
    return ends
      .filter((end) => pinOfEnd(end) !== undefined)
      .map((end) => ({ name, sensor, terminal: terminal!, pin: places.get(end)! }));
  });
}
