import type { EngineConfiguration } from '../../generated/configuration.ts';
import { pinOfEnd, textsOf } from '../configuration/terminals.ts';
import { nodeOf, type QuantityValue, type TextValue } from '../configuration/values.ts';
import { groupedBy } from '../grouped-by.ts';
import { parallelResistance } from '../physics/divider.ts';
import { lookedUp } from '../physics/formula.ts';
import { circuitsOf, netsOf } from './circuits.ts';
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
  const currents = suppliesOf(configuration);
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

interface Supply {
  readonly pin: TextValue;
  readonly current: QuantityValue;
}

function suppliesOf(configuration: EngineConfiguration): Supply[] {
  const circuits = circuitsOf(configuration);
  const nets = netsOf(circuits);
  const places = new Map(circuits.flatMap(({ ends }) => ends.map((end) => [end.text, end])));
  return Object.entries(configuration.sensors ?? {}).flatMap(([name, { supply_current: current }]) => {
    if (!current) return [];
    return nets
      .with(`sensors.${name}.supply`)
      .flatMap((end) => (pinOfEnd(end) === undefined ? [] : { pin: places.get(end)!, current }));
  });
}
