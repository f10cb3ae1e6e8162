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
import { harnessWires } from './wiring.ts';
import { worstInjectorDuty } from './worst-case.ts';

/** A sum of currents that single loads take, as an operand that tells how many they are. */
function sumOf(currents: readonly { readonly canonical: number }[], what: string): Operand {
  const canonical = currents.reduce((sum, current) => sum + current.canonical, 0);
  return { canonical, how: `${what}: ${currents.length === 0 ? 'none' : currents.length} stated` };
}

function injectorsCurrent(derivation: Derivation): Result | undefined {
  const { configuration } = derivation.installation;
  const ofOutput = outputsThatDrive(configuration, 'injector').find(({ output }) => output.resistance);
  return apply(loads.currentOfInjectors, {
    cylinders: configuration.engine?.cylinders,
    perCylinder: injectorsPerCylinder(configuration),
    duty: derivation.one(worstInjectorDuty),
    voltage: nominalVoltage(configuration),
    resistance: configuration.fuel?.injectors?.resistance ?? ofOutput?.output.resistance,
  });
}

/**
 * Cylinders that one coil serves. An odd number makes no pairs of pistons that are at the top together, so there
 * a wasted-spark coil fires in one cylinder alone, on every turn.
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
    how: `${arrangement}, plugs a cylinder ${plugs}`,
  };
}

function coilsCurrent({ installation: { configuration } }: Derivation): Result | undefined {
  return apply(loads.currentOfCoils, {
    coils: coilCount(configuration),
    ...coilAtNominalSupply(configuration),
  });
}

/** No key states what a heater draws. Common practice, no source: a wideband sensor at its temperature. */
const WARM_HEATER: Operand = { canonical: 1.2, how: 'usual of a warm wideband sensor' };

function heatersCurrent({ installation: { configuration } }: Derivation): Result | undefined {
  const heaters = sensorsOf(configuration, 'wideband').filter(([, sensor]) => sensor.heater_pin).length;
  if (heaters === 0) return undefined;
  return apply(loads.currentOfHeaters, {
    heaters: { canonical: heaters, how: 'sensors with a heater pin' },
    current: WARM_HEATER,
  });
}

/** Lights, relays, servos and valves with all of them on. */
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

/** What relays switch: the current of the wire whose circuit has the name of the relay's output. */
function relayedCurrents(configuration: EngineConfiguration): Operand {
  const relays = new Set(outputsThatDrive(configuration, 'relay').map(({ name }) => name));
  const currents = harnessWires(configuration).flatMap(({ wire }) =>
    wire.circuit && relays.has(wire.circuit.text) ? (wire.current ?? []) : [],
  );
  return sumOf(currents, 'wires named for a relay');
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
  'Mean current of the injectors at their worst duty',
  injectorsCurrent,
  ({ fuel }) => fuel?.injectors?.resistance?.node ?? (fuel?.injectors && nodeOf(fuel.injectors)),
);

export const currentOfCoils = value(
  'current_coils',
  'Current of the coils at maximum speed, at most',
  coilsCurrent,
  ({ ignition }) => ignition?.coil && nodeOf(ignition.coil),
);

export const currentOfHeaters = value(
  'current_heaters',
  'Current of the sensor heaters',
  heatersCurrent,
  (configuration) => sensorsOf(configuration, 'wideband').flatMap(([, one]) => one.heater_pin?.node ?? [])[0],
);

const orNone = (part: MaybeOperand, what: string): MaybeOperand =>
  part ?? { canonical: 0, how: `${what} not known` };

/** What the described loads take together, with the generator charging. */
export const currentBudget = value(
  'current_budget',
  'Current of all described loads',
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

/** The currents that the wires named `supply` state: what the author counts on. */
export function supplyWireCurrents(configuration: EngineConfiguration): QuantityValue[] {
  return harnessWires(configuration).flatMap(({ wire }) =>
    wire.circuit?.text === 'supply' ? (wire.current ?? []) : [],
  );
}

const supplyWiresFormula = lookedUp('supply-wire-current', 'I_s', 'sum of the stated currents', 'A');

export const supplyWireCurrent = value(
  'supply_wire_current',
  'Current of the supply wires as stated',
  ({ installation: { configuration } }) => {
    const currents = supplyWireCurrents(configuration);
    return currents.length > 0
      ? apply(supplyWiresFormula, { found: sumOf(currents, 'supply wires') })
      : undefined;
  },
  ({ harness }) => harness?.supply?.generator_current?.node ?? (harness?.supply && nodeOf(harness.supply)),
);
