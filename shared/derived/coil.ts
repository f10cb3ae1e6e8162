import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { internList, memo } from '../memo.ts';
import * as coil from '../physics/coil.ts';
import {
  coilInterval,
  dwellShare as dwellShareFormula,
  sparksPerCycle,
  timeOfAngle,
} from '../physics/firing.ts';
import { lookedUp } from '../physics/formula.ts';
import type { Node } from '../source/tree.ts';
import { turnsPerCycle } from './cylinder.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { unevenCoilInterval } from './firing-intervals.ts';
import { nominalVoltage, type OperatingPoint, type PointValue } from './operating-point.ts';
import { cellOperand, lookUpOnce } from './table-reading.ts';
import {
  apply,
  type DerivedValue,
  derivedValue,
  type MaybeOperand,
  type Naming,
  type Operand,
  placedIn,
  type Result,
} from './value.ts';

/** The dwell at a supply voltage. */
export interface DwellPoint {
  readonly voltage: Operand;
  readonly dwell: Operand;
  /** The cell, or the curve if the dwell is interpolated. */
  readonly node: Node;
}

/** The dwell curve of an engine; a capacitive system has none, even if one is written. */
function dwellCurve({ ignition }: EngineConfiguration): TableValue | undefined {
  return ignition?.system?.text === 'capacitive' ? undefined : ignition?.dwell;
}

/** The points of the dwell curve; none if it is incomplete. */
function dwellPoints(configuration: EngineConfiguration): DwellPoint[] {
  const curve = dwellCurve(configuration);
  if (!curve?.cells || !curve.x) return [];
  return curve.x.breakpoints.map((voltage, i) => ({
    voltage: { canonical: voltage, node: curve.x!.nodes[i]! },
    dwell: cellOperand(curve, i)!,
    node: curve.rows[0]![i]!,
  }));
}

/** The minimum supply voltage: that of the harness, or the first breakpoint of the dwell curve. */
function minimumSupply({ harness }: EngineConfiguration, curve: TableValue): Operand | undefined {
  const lowest = curve.x?.breakpoints[0];
  return (
    harness?.supply?.minimum ??
    (lowest === undefined ? undefined : { canonical: lowest, how: 'lowest voltage of the dwell curve' })
  );
}

/** The dwell at a supply voltage, read from the curve. */
function dwellAt(configuration: EngineConfiguration, voltage: Operand | undefined): DwellPoint[] {
  const dwell = voltage && lookUpOnce(dwellCurve, configuration, voltage);
  return dwell ? [{ voltage, dwell, node: dwellCurve(configuration)!.node }] : [];
}

function dwellAtMinimumSupply(configuration: EngineConfiguration): DwellPoint[] {
  const curve = dwellCurve(configuration);
  return dwellAt(configuration, curve && minimumSupply(configuration, curve));
}

/** Coil current and dwell share at nominal supply voltage; undefined without a dwell curve or coil data. */
export function coilAtNominalSupply(configuration: EngineConfiguration): {
  readonly current: Result | undefined;
  readonly share: Result | undefined;
} {
  const [point] = dwellAt(configuration, nominalVoltage(configuration));
  if (!point) return { current: undefined, share: undefined };
  return { current: current(configuration, point), share: share(configuration, point) };
}

/** The coil current after `dwell` at `voltage`. */
function current(
  { ignition }: EngineConfiguration,
  { voltage, dwell }: { readonly voltage: MaybeOperand; readonly dwell: MaybeOperand },
) {
  return apply(coil.coilCurrent, {
    voltage,
    resistance: ignition?.coil?.primary_resistance,
    inductance: ignition?.coil?.primary_inductance,
    dwell,
  });
}

/** The sections that dwell depends on; the identical object for identical sections. */
const dwellConfiguration = ({ engine, ignition, harness }: EngineConfiguration) =>
  withSections(internList([engine, ignition, harness]));

const withSections = memo((sections: readonly unknown[]): EngineConfiguration => {
  const [engine, ignition, harness] = sections;
  return { engine, ignition, harness } as EngineConfiguration;
});

/** The different configurations of dwell among the engines of the map sets. */
export const dwellConfigurations = (engines: readonly Engine[]): readonly EngineConfiguration[] => [
  ...new Set(engines.map(({ configuration }) => dwellConfiguration(configuration))),
];

/** A value of the file that each version of the engine has at points of its dwell curve. */
export interface DwellValue extends FileValue {
  /** The values of one engine, with the voltage of each. */
  of(configuration: EngineConfiguration): readonly (DwellPoint & { readonly value: DerivedValue })[];
}

/** A value at each of some points of the dwell curve, of the file and of each map set that changes it. */
function perDwellPoint(
  naming: Naming,
  points: (configuration: EngineConfiguration) => readonly DwellPoint[],
  compute: (configuration: EngineConfiguration, point: DwellPoint) => Result | undefined,
): DwellValue {
  const of = memo((configuration: EngineConfiguration) =>
    points(configuration).flatMap((point) => {
      const result = compute(configuration, point);
      if (!result) return [];
      return [{ ...point, value: derivedValue(naming, placedIn(configuration, result), point.node) }];
    }),
  );
  return {
    ...naming,
    of,
    derive({ installation: { engines } }: Derivation): DerivedValue[] {
      // A map set that does not write a curve of its own has no other place for its values.
      const places = new Map<Node, DerivedValue>();
      for (const configuration of dwellConfigurations(engines))
        for (const { node, value } of of(configuration)) if (!places.has(node)) places.set(node, value);
      return [...places.values()];
    },
  };
}

const energy = (configuration: EngineConfiguration, point: DwellPoint) =>
  apply(coil.coilEnergy, {
    inductance: configuration.ignition?.coil?.primary_inductance,
    current: current(configuration, point),
  });

/** Sparks per coil and cycle, from the arrangement; without one, each cylinder has its own coil. */
function sparks({ ignition, engine }: EngineConfiguration): MaybeOperand {
  const arrangement = ignition?.arrangement;
  if (!arrangement) return { canonical: 1, how: 'one coil per cylinder, as no arrangement is stated' };
  if (!engine?.cylinders) return undefined;
  const canonical = sparksPerCycle(arrangement.text, engine.cylinders.canonical);
  return { canonical, node: arrangement.node, how: arrangement.text };
}

const share = (
  configuration: EngineConfiguration,
  { dwell }: { readonly dwell: MaybeOperand },
  speed: MaybeOperand = configuration.engine?.maximum_speed,
) => apply(dwellShareFormula, { dwell, interval: timeBetweenSparks(configuration, speed) });

/** The time between two sparks of a coil, the shortest if the engine fires unevenly. */
function timeBetweenSparks(configuration: EngineConfiguration, speed: MaybeOperand): Result | undefined {
  const uneven = unevenCoilInterval(configuration);
  if (uneven) return apply(timeOfAngle, { angle: uneven, speed });
  return apply(coilInterval, {
    revolutions: turnsPerCycle(configuration),
    sparks: sparks(configuration),
    speed,
  });
}

export const coilCurrent = perDwellPoint({ id: 'coil_current', label: 'Coil current' }, dwellPoints, current);

export const coilEnergy = perDwellPoint({ id: 'coil_energy', label: 'Coil energy' }, dwellPoints, energy);

/** Dwell as a share of the time between two sparks of the same coil, at maximum speed. */
export const dwellShare = perDwellPoint(
  { id: 'dwell_share', label: 'Dwell share of the time between sparks at maximum speed' },
  dwellPoints,
  share,
);

/** The dwell for the target current; none at a voltage that cannot reach it. */
export const dwellForTargetCurrent = perDwellPoint(
  { id: 'dwell_for_target_current', label: 'Dwell for the target current' },
  dwellPoints,
  ({ ignition }, { voltage }) =>
    apply(coil.dwellForCurrent, {
      voltage,
      resistance: ignition?.coil?.primary_resistance,
      inductance: ignition?.coil?.primary_inductance,
      current: ignition?.coil?.target_current,
    }),
);

export const coilEnergyAtMinimumSupply = perDwellPoint(
  { id: 'coil_energy_at_minimum_supply', label: 'Coil energy at minimum supply voltage' },
  dwellAtMinimumSupply,
  energy,
);

export const dwellShareAtMinimumSupply = perDwellPoint(
  {
    id: 'dwell_share_at_minimum_supply',
    label: 'Dwell share of the time between sparks at maximum speed and minimum supply voltage',
  },
  dwellAtMinimumSupply,
  share,
);

const dwellTable: WhichTable = dwellCurve;
const dwellFormula = lookedUp('dwell', 't_w', 'curve at battery voltage', 's', 'ms');

/** Supply voltage and dwell at an operating point. */
const atPoint = (point: OperatingPoint) => ({
  voltage: point.conditions.batteryVoltage,
  dwell: point.get(dwell),
});

export const dwell: PointValue = {
  id: 'dwell',
  label: 'Dwell',
  derive: (point) =>
    apply(dwellFormula, { found: point.lookUp(dwellTable, point.conditions.batteryVoltage) }),
};

export const coilCurrentAtPoint: PointValue = {
  id: 'coil_current_at_battery_voltage',
  label: 'Coil current at battery voltage',
  derive: (point) => current(point.configuration, atPoint(point)),
};

export const coilEnergyAtPoint: PointValue = {
  id: 'coil_energy_at_battery_voltage',
  label: 'Coil energy at battery voltage',
  derive: (point) =>
    apply(coil.coilEnergy, {
      inductance: point.configuration.ignition?.coil?.primary_inductance,
      current: point.get(coilCurrentAtPoint),
    }),
};

export const dwellShareAtPoint: PointValue = {
  id: 'dwell_share_at_speed',
  label: 'Dwell share of the time between sparks',
  derive: (point) => share(point.configuration, atPoint(point), point.conditions.speed),
};
