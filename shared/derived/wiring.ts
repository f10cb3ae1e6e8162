import type { EngineConfiguration, Wire } from '../../generated/configuration.ts';
import { lookedUp } from '../physics/formula.ts';
import * as physics from '../physics/wire.ts';
import type { Node } from '../source/tree.ts';
import { circuitsOf } from './circuits.ts';
import type { FileValue } from './derivation.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

/** One wire of the harness. */
export interface HarnessWire {
  readonly connector: string;
  readonly position: string;
  readonly wire: Wire;
}

export function harnessWires({ harness }: EngineConfiguration): HarnessWire[] {
  return Object.entries(harness?.connectors ?? {}).flatMap(([connector, { wires }]) =>
    Object.entries(wires ?? {}).map(([position, wire]) => ({ connector, position, wire })),
  );
}

/** The keys that the values of a conductor follow from. */
export type Conductor = Pick<Wire, 'gauge' | 'length' | 'current' | 'fuse' | 'breaker'>;

/** Every conductor: the wires of the connectors, and the circuits. */
export const harnessConductors = (configuration: EngineConfiguration): readonly Conductor[] => [
  ...harnessWires(configuration).map(({ wire }) => wire),
  ...circuitsOf(configuration).map(({ circuit }) => circuit),
];

/** A conductor at the supply or the ground of the aircraft. */
export interface FeedConductor {
  readonly conductor: Conductor;
  /** How messages name it: ``Wire 1 of `main_power` `` */
  readonly label: string;
  /** Where the file says what it is connected to. */
  readonly node: Node;
}

/** The conductors at the supply or the ground of the aircraft: wires whose circuit has that name, and circuits with such an end. */
export const conductorsAt = (
  configuration: EngineConfiguration,
  end: 'supply' | 'ground',
): readonly FeedConductor[] => [
  ...harnessWires(configuration).flatMap((one) => (one.wire.circuit?.text === end ? feedWire(one) : [])),
  ...circuitsOf(configuration).flatMap(({ name, circuit, ends }) => {
    const place = ends.find(({ text }) => text === end);
    return place ? { conductor: circuit, label: `Circuit \`${name}\``, node: place.node } : [];
  }),
];

export const feedWire = ({ connector, position, wire }: HarnessWire): FeedConductor => ({
  conductor: wire,
  label: `Wire ${position} of \`${connector}\``,
  node: wire.circuit!.node,
});

/** No key states the temperature of a wire; table 11-9 of FAA AC 43.13-1B holds at 70 °C ambient. */
const WARM: Operand = { canonical: 343.15, how: 'ambient temperature of FAA AC 43.13-1B table 11-9' };

/** A value of every wire, placed at one of its keys. */
function perWire(
  id: string,
  label: string,
  key: 'gauge' | 'length' | 'current' | Protector,
  compute: (wire: Conductor) => Result | undefined,
): FileValue {
  return {
    id,
    label,
    derive: ({ installation: { configuration } }) =>
      harnessConductors(configuration).flatMap((wire) => {
        const place = wire[key];
        const result = place && compute(wire);
        return result ? [derivedValue({ id, label }, result, place.node)] : [];
      }),
  };
}

const diameter = ({ gauge }: Conductor): Result | undefined => apply(physics.wireDiameter, { gauge });

const resistance = (wire: Conductor): Result | undefined =>
  apply(physics.wireResistance, {
    resistivity: apply(physics.copperResistivity, { temperature: WARM }),
    length: wire.length,
    area: apply(physics.wireArea, { diameter: diameter(wire) }),
  });

export const wireDiameter = perWire('wire_diameter', 'Diameter of the solid wire', 'gauge', diameter);

export const wireResistance = perWire('wire_resistance', 'Wire resistance at 70 °C', 'length', resistance);

/** Along the wire, one way. */
export const wireVoltageDrop = perWire(
  'wire_voltage_drop',
  'Voltage drop along the wire',
  'current',
  (wire) => apply(physics.voltageDrop, { current: wire.current, resistance: resistance(wire) }),
);

/** The two kinds of protector, each with its own column in table 11-3. */
export const PROTECTORS = ['fuse', 'breaker'] as const;

export type Protector = (typeof PROTECTORS)[number];

/** The largest fuse or breaker (A) for a gauge; undefined if the table has none. */
const protectorLimit = (gauge: number, protector: Protector): number | undefined =>
  physics.aircraftWire(gauge)?.[protector];

const protectorFormula = lookedUp(
  'wire-protector',
  'I_p',
  'largest fuse or breaker for the gauge',
  'A',
  'A',
  physics.protectorSource,
);

const largestProtector = PROTECTORS.map((protector) =>
  perWire('wire_protector', `Largest ${protector} for the wire`, protector, ({ gauge }) => {
    const limit = gauge && protectorLimit(gauge.canonical, protector);
    if (limit === undefined) return undefined;
    const how = `${protector} for ${gauge!.node.text}, FAA AC 43.13-1B table 11-3`;
    return apply(protectorFormula, { found: { canonical: limit, node: gauge!.node, how } });
  }),
);

export const wireProtector: FileValue = {
  id: 'wire_protector',
  label: 'Largest fuse or breaker for the wire',
  derive: (derivation) => largestProtector.flatMap((one) => one.derive(derivation)),
};

const THINNEST = physics.aircraftWires[0]!.gauge;

/**
 * The current (A) that a wire of a gauge carries continuously in a bundle, with insulation for a temperature (K);
 * undefined for insulation that the table does not have. Wire thinner than the table carries less than its thinnest.
 */
export function bundledCurrent(gauge: number, insulation: number): number | undefined {
  const wire = physics.aircraftWire(Math.min(gauge, THINNEST));
  const celsius = insulation - 273.15 + 0.5;
  const rating = (['200 °C', '150 °C', '105 °C'] as const).find((one) => Number.parseFloat(one) <= celsius);
  return rating && wire?.current[rating];
}
