import type { EngineConfiguration } from '../../generated/configuration.ts';
import { nodeOf, type QuantityValue } from '../configuration/values.ts';
import type { Arrangement } from '../physics/firing.ts';
import { lookedUp } from '../physics/formula.ts';
import * as loads from '../physics/loads.ts';
import type { Node } from '../source/tree.ts';
import { coilAtNominalSupply } from './coil.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { injectorsPerCylinder } from './fuel.ts';
import { outputsThatDrive } from './loads.ts';
import { nominalVoltage } from './operating-point.ts';
import { sensorsOf } from './sensor-input.ts';
import { apply, derivedValue, type MaybeOperand, type Operand, type Result } from './value.ts';
import { conductorsAt, harnessWires } from './wiring.ts';

/** The sum of the currents of single loads, as an operand that says how many they are. */
function sumOf(currents: readonly { readonly canonical: number }[], what: string): Operand {
  const canonical = currents.reduce((sum, current) => sum + current.canonical, 0);
  return { canonical, how: `${what}: ${currents.length === 0 ? 'none' : currents.length} stated` };
}

const ALWAYS_OPEN: Operand = { canonical: 1, how: 'always open, the upper bound' };

function injectorsCurrent({ installation: { configuration } }: Derivation): Result | undefined {
  const ofOutput = outputsThatDrive(configuration, 'injector').find(({ output }) => output.resistance);
  return apply(loads.currentOfInjectors, {
    cylinders: configuration.engine?.cylinders,
    perCylinder: injectorsPerCylinder(configuration),
    duty: ALWAYS_OPEN,
    voltage: nominalVoltage(configuration),
    resistance: configuration.fuel?.injectors?.resistance ?? ofOutput?.output.resistance,
  });
}

/**
 * Cylinders that one coil serves. With an odd number of cylinders, no two pistons are at top dead centre together, so
 * a wasted-spark coil serves one cylinder and fires once per revolution.
 */
function cylindersPerCoil(arrangement: Arrangement, cylinders: number): number {
  if (arrangement === 'distributor') return cylinders;
  return arrangement === 'wasted-spark' && cylinders % 2 === 0 ? 2 : 1;
}

/** Coils by the arrangement, once for each plug of a cylinder. */
function coilCount({ engine, ignition }: EngineConfiguration): Operand | undefined {
  const arrangement = ignition?.arrangement?.text ?? 'per-cylinder';
  const cylinders = engine?.cylinders?.canonical;
  if (cylinders === undefined) return undefined;
  const plugs = ignition?.plugs_per_cylinder?.canonical ?? 1;
  return {
    canonical: (cylinders / cylindersPerCoil(arrangement, cylinders)) * plugs,
    how: `${arrangement}, plugs per cylinder: ${plugs}`,
  };
}

function coilsCurrent({ installation: { configuration } }: Derivation): Result | undefined {
  return apply(loads.currentOfCoils, {
    coils: coilCount(configuration),
    ...coilAtNominalSupply(configuration),
  });
}

/** No key states the current of a heater. Common practice, no source: a wideband sensor at operating temperature. */
const WARM_HEATER: Operand = {
  canonical: 1.2,
  how: 'usual for a warm wideband sensor (common practice, no source)',
};

function heatersCurrent({ installation: { configuration } }: Derivation): Result | undefined {
  const heaters = sensorsOf(configuration, 'wideband').filter(([, sensor]) => sensor.heater_pin).length;
  if (heaters === 0) return undefined;
  return apply(loads.currentOfHeaters, {
    heaters: { canonical: heaters, how: 'sensors with a heater pin' },
    current: WARM_HEATER,
  });
}

/** Lights, relays, servos and valves, all switched on. */
function outputCurrents(configuration: EngineConfiguration): Operand {
  const voltage = nominalVoltage(configuration);
  const others = Object.values(configuration.outputs ?? {}).filter(
    ({ drives }) => drives && drives.text !== 'injector' && drives.text !== 'ignition',
  );
  const currents = others.flatMap(
    ({ current, resistance }) => current ?? apply(loads.loadCurrent, { voltage, resistance }) ?? [],
  );
  return sumOf(currents, 'lights, relays, servos and valves');
}

/** Loads behind relays: the current of the wire whose circuit is named as the relay's output. */
function relayedCurrents(configuration: EngineConfiguration): Operand {
  const relays = new Set(outputsThatDrive(configuration, 'relay').map(({ name }) => name));
  const currents = harnessWires(configuration).flatMap(({ wire }) =>
    wire.circuit && relays.has(wire.circuit.text) ? (wire.current ?? []) : [],
  );
  return sumOf(currents, 'wires whose circuit is named after a relay');
}

function value(
  id: string,
  label: string,
  compute: (derivation: Derivation) => Result | undefined,
  place: (configuration: EngineConfiguration) => Node | undefined,
): FileValue {
  return {
    id,
    label,
    derive(derivation) {
      const node = place(derivation.installation.configuration);
      const result = node && compute(derivation);
      return result ? [derivedValue({ id, label }, result, node)] : [];
    },
  };
}

export const currentOfInjectors = value(
  'current_injectors',
  'Injector current at 100 % duty, upper bound',
  injectorsCurrent,
  ({ fuel }) => fuel?.injectors?.resistance?.node ?? (fuel?.injectors && nodeOf(fuel.injectors)),
);

export const currentOfCoils = value(
  'current_coils',
  'Coil current at maximum speed, upper bound',
  coilsCurrent,
  ({ ignition }) => ignition?.coil && nodeOf(ignition.coil),
);

export const currentOfHeaters = value(
  'current_heaters',
  'Sensor heater current',
  heatersCurrent,
  (configuration) => sensorsOf(configuration, 'wideband').flatMap(([, one]) => one.heater_pin?.node ?? [])[0],
);

const orNone = (part: MaybeOperand, what: string): MaybeOperand =>
  part ?? { canonical: 0, how: `${what}: unknown, counted as zero` };

/** The total current of the described loads at nominal supply voltage. */
export const currentBudget = value(
  'current_budget',
  'Total current of the loads in the file',
  (derivation) => {
    const { configuration } = derivation.installation;
    return apply(loads.currentBudget, {
      injectors: orNone(derivation.one(currentOfInjectors), 'injectors'),
      coils: orNone(derivation.one(currentOfCoils), 'coils'),
      heaters: orNone(derivation.one(currentOfHeaters), 'heaters'),
      outputs: outputCurrents(configuration),
      relayed: relayedCurrents(configuration),
    });
  },
  ({ harness }) => harness?.supply?.generator_current?.node ?? (harness?.supply && nodeOf(harness.supply)),
);

/** The currents stated for the conductors at the supply. */
export function supplyWireCurrents(configuration: EngineConfiguration): QuantityValue[] {
  return conductorsAt(configuration, 'supply').flatMap(({ conductor }) => conductor.current ?? []);
}

const supplyWiresFormula = lookedUp('supply-wire-current', 'I_s', 'sum of the stated currents', 'A');

export const supplyWireCurrent = value(
  'supply_wire_current',
  'Stated current of the supply wires',
  ({ installation: { configuration } }) => {
    const currents = supplyWireCurrents(configuration);
    return currents.length > 0
      ? apply(supplyWiresFormula, { found: sumOf(currents, 'supply wires') })
      : undefined;
  },
  ({ harness }) => harness?.supply?.generator_current?.node ?? (harness?.supply && nodeOf(harness.supply)),
);
