import type { QuantityValue } from '../configuration/values.ts';
import * as physics from '../physics/loops.ts';
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
import { apply, type Operand, type Result, switched } from './value.ts';

const nothing = (how: string): Operand => ({ canonical: 0, how });

/**
 * The share of the fuel by which the lambda loop may change it at the point; zero where the loop is inactive.
 */
export function lambdaAuthority(point: OperatingPoint): Operand {
  const loop = point.configuration.closed_loop?.lambda;
  if (!loop?.authority) return nothing('no lambda loop');
  return whereLambdaLoopActs(
    point,
    loop.authority,
    nothing('lambda loop inactive at this speed or temperature'),
  );
}

/** One operand where the lambda loop acts, and the other below its temperature and outside its range of speeds. */
function whereLambdaLoopActs(
  { configuration, conditions }: OperatingPoint,
  within: Operand,
  outside: Operand,
): Operand {
  const { speed, active_above: above } = configuration.closed_loop?.lambda ?? {};
  const ranges = [
    ...(speed ? [{ of: conditions.speed, low: speed.low.canonical, high: speed.high.canonical }] : []),
    ...(above ? [{ of: conditions.coolantTemperature, low: above.canonical, high: Infinity }] : []),
  ];
  return ranges.length > 0 ? switched({ within, outside, ranges }) : within;
}

function exhaustAuthority(
  { configuration }: OperatingPoint,
  which: 'enrichment_authority' | 'leaning_authority',
): Operand {
  return configuration.closed_loop?.exhaust_gas_temperature?.[which] ?? nothing('none stated');
}

const loopsMoveFuel = ({ configuration: { closed_loop: loops } }: OperatingPoint): boolean =>
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
    if (!loopsMoveFuel(point)) return undefined;
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
    loopsMoveFuel(point)
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
  const outside = leanest(ofExhaust);
  if (!lambda?.authority || !(lambda.authority.canonical > 0)) return outside;
  return whereLambdaLoopActs(point, leanest([lambda.lean_limit, ...ofExhaust]), outside);
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
    loopsMoveFuel(point)
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
      maximumRetard: point.configuration.closed_loop?.knock?.maximum_retard,
    }),
};
