import type { WhichTable } from '../configuration/lookup.ts';
import type { QuantityValue, RangeValue } from '../configuration/values.ts';
import { lookedUp } from '../physics/formula.ts';
import * as physics from '../physics/loops.ts';
import type { Node } from '../source/tree.ts';
import { manifoldPressure } from './charge-air.ts';
import type { StateConfiguration } from './core-engine.ts';
import { cycleTime } from './cylinder.ts';
import {
  deadTime,
  duty,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorFlow,
  injectorsPerCylinder,
  pulseWidth,
  targetLambda,
  testFluidDensity,
} from './fuel.ts';
import { ignitionAdvance } from './ignition.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { apply, type Operand, type Result, type Switched, switched } from './value.ts';

const nothing = (how: string): Operand => ({ canonical: 0, how });

/**
 * The share of the fuel by which the lambda loop may change it at the point; zero where the loop is inactive.
 */
export function lambdaAuthority(point: OperatingPoint): Operand {
  const loop = point.configuration.closed_loop?.lambda;
  if (!loop?.authority) return nothing('no lambda loop');
  return whereLoopActs(point, 'lambda', loop.authority, nothing('lambda loop inactive here'));
}

/** The loops that may be limited to a part of the engine's states, with their names in texts. */
export const RANGED_LOOPS = [
  ['lambda', 'lambda'],
  ['exhaust_gas_temperature', 'exhaust temperature'],
  ['knock', 'knock'],
] as const;

export type RangedLoop = (typeof RANGED_LOOPS)[number][0];

const endsOf = ({ low, high, node }: RangeValue) => ({ low: low.canonical, high: high.canonical, node });

/** The ranges of the state in which a loop works, each with the key that states it; empty if it works everywhere. */
function rangesOf(point: OperatingPoint, name: RangedLoop) {
  const { configuration, conditions } = point;
  const { speed, active_above: above, manifold_pressure: load } = configuration.closed_loop?.[name] ?? {};
  const pressure = load && point.get(manifoldPressure);
  return [
    ...(speed ? [{ of: conditions.speed, ...endsOf(speed) }] : []),
    ...(load && pressure ? [{ of: pressure, ...endsOf(load) }] : []),
    ...(above
      ? [{ of: conditions.coolantTemperature, low: above.canonical, high: Infinity, node: above.node }]
      : []),
  ] satisfies Switched['ranges'];
}

/** One operand where a loop works, and the other outside its ranges of speed, pressure and temperature. */
function whereLoopActs(point: OperatingPoint, name: RangedLoop, within: Operand, outside: Operand): Operand {
  const ranges = rangesOf(point, name);
  return ranges.length > 0 ? switched({ within, outside, ranges }) : within;
}

/** The keys of a loop whose ranges a point is outside of, so that the loop does not work there. */
export const inactiveBy = (point: OperatingPoint, name: RangedLoop): Node[] =>
  rangesOf(point, name)
    .filter(({ of, low, high }) => of.canonical < low || of.canonical > high)
    .map(({ node }) => node);

function exhaustAuthority(
  point: OperatingPoint,
  which: 'enrichment_authority' | 'leaning_authority',
): Operand {
  const authority = point.configuration.closed_loop?.exhaust_gas_temperature?.[which];
  if (!authority) return nothing('none stated');
  const inactive = nothing('exhaust temperature loop inactive here');
  return whereLoopActs(point, 'exhaust_gas_temperature', authority, inactive);
}

/** Whether an engine has a loop that changes the quantity of fuel. */
export const loopsMoveFuel = ({ closed_loop: loops }: StateConfiguration): boolean =>
  loops?.lambda !== undefined || loops?.exhaust_gas_temperature !== undefined;

/**
 * Below this pressure the fuel-pressure compensation cannot lengthen the pulse any further and the mixture leans out.
 */
export const lowestFuelPressure: PointValue = {
  id: 'lowest_fuel_pressure',
  label: 'Minimum fuel pressure above manifold pressure to stay within maximum duty',
  derive(point) {
    const { configuration } = point;
    const injectors = configuration.fuel?.injectors;
    return apply(physics.lowestRailDrop, {
      ratedPressure: injectors?.rated_pressure,
      fuelMass: point.get(fuelMassPerCycle),
      duty: injectors?.maximum_duty ?? { canonical: 1, how: '100 %, as no maximum duty is stated' },
      cycleTime: point.get(cycleTime),
      injections: injections(configuration),
      deadTime: deadTime(point),
      injectorsPerCylinder: injectorsPerCylinder(configuration),
      fuelDensity: fuelDensity(configuration),
      staticFlow: injectors?.static_flow,
      testFluidDensity: testFluidDensity(configuration),
    });
  },
};

/** The authorities that add fuel at the point. */
const enriching = (point: OperatingPoint) => ({
  lambdaAuthority: lambdaAuthority(point),
  exhaustAuthority: exhaustAuthority(point, 'enrichment_authority'),
});

export const dutyAtFullEnrichment: PointValue = {
  id: 'injector_duty_at_full_enrichment',
  label: 'Injector duty with the loops at full enrichment',
  derive(point): Result | undefined {
    if (!loopsMoveFuel(point.configuration)) return undefined;
    const fuelMass = apply(physics.enrichedFuelMass, {
      fuelMass: point.get(fuelMassPerCycle),
      ...enriching(point),
    });
    return fuelMass && duty(point, pulseWidth(point, point.get(injectorFlow), fuelMass));
  },
};

export const lambdaAtFullEnrichment: PointValue = {
  id: 'lambda_at_full_enrichment',
  label: 'Lambda with the loops at full enrichment',
  derive: (point) =>
    loopsMoveFuel(point.configuration)
      ? apply(physics.enrichedLambda, { lambda: point.get(targetLambda), ...enriching(point) })
      : undefined,
};

/**
 * The leanest lambda that the loops may command: each stops at its own limit, so the leaner limit counts; infinite if a
 * leaning loop has none.
 */
function leanLimit(point: OperatingPoint): Operand {
  const { lambda, exhaust_gas_temperature: exhaust } = point.configuration.closed_loop ?? {};
  const ofExhaust = exhaust?.leaning_authority ? [exhaust.lean_limit] : [];
  const isLambda = lambda?.authority && lambda.authority.canonical > 0;
  /** The limit with some of the loops; without the exhaust temperature loop where that is inactive. */
  const limitWith = (limits: readonly (QuantityValue | undefined)[]): Operand =>
    ofExhaust.length > 0
      ? whereLoopActs(point, 'exhaust_gas_temperature', leanest([...limits, ...ofExhaust]), leanest(limits))
      : leanest(limits);
  if (!isLambda) return limitWith([]);
  return whereLoopActs(point, 'lambda', limitWith([lambda.lean_limit]), limitWith([]));
}

function leanest(limits: readonly (QuantityValue | undefined)[]): Operand {
  const stated = limits.filter((limit) => limit !== undefined);
  if (stated.length < limits.length || stated.length === 0)
    return { canonical: Number.POSITIVE_INFINITY, how: 'no lean limit stated' };
  return stated.reduce((most, limit) => (limit.canonical > most.canonical ? limit : most));
}

export const lambdaAtFullLeaning: PointValue = {
  id: 'lambda_at_full_leaning',
  label: 'Lambda with the loops at full leaning',
  derive: (point) =>
    loopsMoveFuel(point.configuration)
      ? apply(physics.leanedLambda, {
          lambda: point.get(targetLambda),
          leanLimit: leanLimit(point),
          lambdaAuthority: lambdaAuthority(point),
          exhaustAuthority: exhaustAuthority(point, 'leaning_authority'),
        })
      : undefined,
};

export const advanceAtMaximumRetard: PointValue = {
  id: 'advance_at_maximum_retard',
  label: 'Ignition advance at maximum knock retard',
  derive: (point) =>
    apply(physics.retardedAdvance, {
      advance: point.get(ignitionAdvance),
      maximumRetard: maximumRetard(point),
    }),
};

function maximumRetard(point: OperatingPoint): Operand | undefined {
  const retard = point.configuration.closed_loop?.knock?.maximum_retard;
  return retard && whereLoopActs(point, 'knock', retard, nothing('knock loop inactive here'));
}

const thresholdCurve: WhichTable = ({ closed_loop: loops }) => loops?.knock?.threshold;
const thresholdFormula = lookedUp('knock-threshold', 'U_k', 'curve at engine speed', 'V');

export const knockThreshold: PointValue = {
  id: 'knock_threshold',
  label: 'Knock threshold',
  derive: (point) => apply(thresholdFormula, { found: point.lookUp(thresholdCurve, point.conditions.speed) }),
};
