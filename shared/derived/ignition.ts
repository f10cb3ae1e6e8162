import type { EngineConfiguration } from '../../generated/configuration.ts';
import * as coil from '../physics/coil.ts';
import { coilInterval, dwellShare as dwellShareFormula, sparksPerCycle } from '../physics/firing.ts';
import { formula } from '../physics/formula.ts';
import { knockFrequency as knockFrequencyFormula } from '../physics/knock.ts';
import type { ScalarNode } from '../source/tree.ts';
import { chargeTemperature, pressureOnAxis } from './charge-air.ts';
import { turnsPerCycle } from './cylinder.ts';
import type { Derivation, FileValue } from './derivation.ts';
import type { PointValue } from './operating-point.ts';
import { placeOf, placeOfNode } from './place.ts';
import {
  apply,
  type DerivedValue,
  derivedValue,
  type MaybeOperand,
  type Naming,
  type Operand,
} from './value.ts';

const advance = { unit: 'deg', label: 'ignition advance' } as const;

const advanceFormula = formula({
  id: 'ignition-advance',
  title: 'Ignition advance',
  expression: 'α_map − α_r',
  terms: {
    fromMap: { ...advance, symbol: 'α_map', label: 'advance of the map' },
    retard: { ...advance, symbol: 'α_r', label: 'charge temperature retard' },
  },
  result: { ...advance, symbol: 'α' },
  sources: ['plain-definition'],
  compute: ({ fromMap, retard }) => fromMap - retard,
});

export const ignitionAdvance: PointValue = {
  id: 'ignition_advance',
  label: 'Ignition advance',
  derive(point) {
    const ignition = point.configuration.ignition;
    const retard = ignition?.charge_temperature_retard;
    return apply(advanceFormula, {
      fromMap: point.lookUp(
        ignition?.advance,
        point.conditions.speed,
        pressureOnAxis(point, ignition?.advance?.y),
      ),
      retard: retard
        ? point.lookUp(retard, point.get(chargeTemperature))
        : { canonical: 0, how: 'no charge temperature retard given' },
    });
  },
};

export const knockFrequency: FileValue = {
  id: 'knock_frequency',
  label: 'Knock frequency, first circumferential mode',
  derive({ installation: { configuration } }) {
    const bore = configuration.engine?.bore;
    const result = apply(knockFrequencyFormula, { bore });
    return result ? [derivedValue(knockFrequency, result, ...placeOf(bore!))] : [];
  },
};

/** One point of the dwell curve: how long the coil charges at which supply voltage. */
export interface DwellPoint {
  readonly voltage: Operand;
  readonly dwell: Operand;
  readonly node: ScalarNode;
}

/** The points of the dwell curve of the engine without a map set; none where the curve is not whole. */
export function dwellPoints({ ignition }: EngineConfiguration): DwellPoint[] {
  const curve = ignition?.dwell;
  if (!curve?.cells || !curve.x) return [];
  return curve.x.breakpoints.map((voltage, i) => ({
    voltage: { canonical: voltage, node: curve.x!.nodes[i]! },
    dwell: { canonical: curve.cells![i]!, node: curve.rows[0]![i]! },
    node: curve.rows[0]![i]!,
  }));
}

/** The coil's current, when it has charged for `dwell` at `voltage`. */
function current({ ignition }: EngineConfiguration, { voltage, dwell }: DwellPoint) {
  return apply(coil.coilCurrent, {
    voltage,
    resistance: ignition?.coil?.primary_resistance,
    inductance: ignition?.coil?.primary_inductance,
    dwell,
  });
}

/** A value at each point of the dwell curve. */
function perDwellPoint(
  naming: Naming,
  compute: (configuration: EngineConfiguration, point: DwellPoint) => ReturnType<typeof apply>,
): FileValue {
  return {
    ...naming,
    derive({ installation: { configuration } }: Derivation): DerivedValue[] {
      return dwellPoints(configuration).flatMap((point) => {
        const result = compute(configuration, point);
        return result ? [derivedValue(naming, result, ...placeOfNode(point.node))] : [];
      });
    },
  };
}

export const coilCurrent = perDwellPoint({ id: 'coil_current', label: 'Coil current' }, current);

export const coilEnergy = perDwellPoint({ id: 'coil_energy', label: 'Coil energy' }, (configuration, point) =>
  apply(coil.coilEnergy, {
    inductance: configuration.ignition?.coil?.primary_inductance,
    current: current(configuration, point),
  }),
);

/** Sparks that one coil gives in a cycle, by the arrangement. */
function sparks({ ignition, engine }: EngineConfiguration): MaybeOperand {
  const arrangement = ignition?.arrangement;
  const cylinders = engine?.cylinders;
  if (!arrangement || !cylinders) return undefined;
  const canonical = sparksPerCycle(arrangement.text, cylinders.canonical);
  return { canonical, node: arrangement.node, how: arrangement.text };
}

/** Dwell as a share of the time between two sparks of the same coil, at maximum speed. */
export const dwellShare = perDwellPoint(
  { id: 'dwell_share', label: 'Dwell as a share of the time between sparks at maximum speed' },
  (configuration, { dwell }) =>
    apply(dwellShareFormula, {
      dwell,
      interval: apply(coilInterval, {
        revolutions: turnsPerCycle(configuration),
        sparks: sparks(configuration),
        speed: configuration.engine?.maximum_speed,
      }),
    }),
);
