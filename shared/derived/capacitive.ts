import type { EngineConfiguration } from '../../generated/configuration.ts';
import { differingIn } from '../configuration/installation.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import { nodeOf } from '../configuration/values.ts';
import { cylindersFiring } from '../physics/faults.ts';
import * as firing from '../physics/firing.ts';
import type { Node } from '../source/tree.ts';
import { crankingSpeed } from './cranking.ts';
import type { FileValue } from './derivation.ts';
import { ignitionAdvance } from './ignition.ts';
import { cylindersOf, outputsThatDrive } from './loads.ts';
import type { PointValue } from './operating-point.ts';
import { lookUpOnce } from './table-reading.ts';
import {
  apply,
  type DerivedValue,
  derivedValue,
  type Operand,
  placedIn,
  type Result,
  withNote,
} from './value.ts';

/** The data of a capacitive ignition; one that is stated to be inductive has none, even if they are written. */
const capacitiveOf = ({ ignition }: Pick<EngineConfiguration, 'ignition'>) =>
  ignition?.system?.text === 'inductive' ? undefined : ignition?.capacitive;

const chargeCurve: WhichTable = (configuration) => capacitiveOf(configuration)?.charge_energy;
const delayCurve: WhichTable = (configuration) => capacitiveOf(configuration)?.trigger_delay;

/** Sparks that share one discharge: both of a wasted-spark pair, and all plugs of a cylinder on the same circuit. */
function sparksPerDischarge({ ignition, engine }: EngineConfiguration): Operand {
  const plugs = (ignition?.plugs_per_cylinder?.canonical ?? 1) / (ignition?.circuits?.canonical ?? 1);
  const isPaired =
    ignition?.arrangement?.text === 'wasted-spark' && (engine?.cylinders?.canonical ?? 0) % 2 === 0;
  const canonical = Math.max(1, plugs) * (isPaired ? 2 : 1);
  const node = (isPaired ? ignition?.arrangement : (ignition?.plugs_per_cylinder ?? ignition?.system))?.node;
  return { canonical, ...(node && { node }), how: isPaired ? 'wasted spark' : 'plugs on one circuit' };
}

export const sparkEnergy: PointValue = {
  id: 'spark_energy',
  label: 'Spark energy',
  derive: (point) =>
    apply(firing.sparkEnergyOf, {
      charge: point.lookUp(chargeCurve, point.conditions.speed),
      sparks: sparksPerDischarge(point.configuration),
    }),
};

function energyAtCranking(configuration: EngineConfiguration): Result | undefined {
  const charge = lookUpOnce(chargeCurve, configuration, crankingSpeed(configuration));
  return charge && apply(firing.sparkEnergyOf, { charge, sparks: sparksPerDischarge(configuration) });
}

export const sparkEnergyAtCranking: FileValue = {
  id: 'spark_energy_at_cranking',
  label: 'Spark energy at cranking speed',
  derive({ installation: { engines } }) {
    // A map set that does not write a curve of its own has no other place for its value.
    const places = new Map<Node, DerivedValue>();
    for (const { configuration } of differingIn(engines, 'ignition')) {
      const node = chargeCurve(configuration)?.node;
      const result = node && !places.has(node) && energyAtCranking(configuration);
      if (result)
        places.set(node, derivedValue(sparkEnergyAtCranking, placedIn(configuration, result), node));
    }
    return [...places.values()];
  },
};

export const triggerDelayAngle: PointValue = {
  id: 'ignition_trigger_delay_angle',
  label: 'Trigger delay as crank angle',
  derive: (point) =>
    apply(firing.sweptAngle, {
      speed: point.conditions.speed,
      time: point.lookUp(delayCurve, point.conditions.speed),
    }),
};

export const advanceDelivered: PointValue = {
  id: 'ignition_advance_delivered',
  label: 'Delivered ignition advance',
  derive(point) {
    const capacitive = capacitiveOf(point.configuration);
    if (!capacitive?.trigger_delay) return undefined;
    const { compensated } = capacitive;
    return apply(firing.deliveredAdvance, {
      advance: point.get(ignitionAdvance),
      delay: compensated?.flag
        ? { canonical: 0, node: compensated.node, how: 'the controller compensates the delay' }
        : point.get(triggerDelayAngle),
    });
  },
};

/** The cylinders that only the outputs of one circuit fire, by circuit; undefined if an output names no circuit. */
export function firedByOneCircuit(
  configuration: EngineConfiguration,
): ReadonlyMap<number, number[]> | undefined {
  const coils = outputsThatDrive(configuration, 'ignition');
  const circuits = configuration.ignition?.circuits?.canonical ?? 1;
  if (circuits < 2 || coils.length === 0 || coils.some(({ output }) => !output.circuit)) return undefined;
  const circuitsOf = new Map<number, Set<number>>();
  for (const { output } of coils) {
    for (const cylinder of cylindersOf(output))
      circuitsOf.set(cylinder, (circuitsOf.get(cylinder) ?? new Set()).add(output.circuit!.canonical));
  }
  const alone = [...circuitsOf].filter(([, own]) => own.size === 1);
  return new Map(
    Array.from({ length: circuits }, (_, i) => i + 1).map((circuit) => [
      circuit,
      alone.flatMap(([cylinder, own]) => (own.has(circuit) ? [cylinder] : [])),
    ]),
  );
}

/** What remains with one spark circuit lost: one value for each circuit. */
export const cylindersWithoutCircuit: FileValue = {
  id: 'cylinders_firing_without_circuit',
  label: 'Cylinders firing with one spark circuit lost',
  derive({ installation: { configuration } }) {
    const lost = firedByOneCircuit(configuration);
    const node = configuration.ignition?.circuits?.node ?? nodeOf(configuration.ignition ?? {});
    return [...(lost ?? [])].flatMap(([circuit, cylinders]) => {
      const result = apply(cylindersFiring, {
        cylinders: configuration.engine?.cylinders,
        dead: { canonical: cylinders.length, how: 'cylinders that no other circuit fires' },
      });
      const note = `circuit ${circuit} lost`;
      return result ? [derivedValue(cylindersWithoutCircuit, withNote(result, note), node)] : [];
    });
  },
};
