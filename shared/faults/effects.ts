import type { Installation } from '../configuration/installation.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { stateEngine } from '../derived/core-engine.ts';
import { cycleTime } from '../derived/cylinder.ts';
import { faultedLambda } from '../derived/faults.ts';
import {
  estimatedPower,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorDuty,
  injectorFlow,
  injectorsPerCylinder,
  targetLambda,
} from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { SingleFault } from '../derived/loss.ts';
import { OperatingPoint, type PointValue } from '../derived/operating-point.ts';
import {
  apply,
  type DerivedValue,
  derivedValue,
  type Naming,
  type Operand,
  placedIn,
  type Result,
} from '../derived/value.ts';
import * as physics from '../physics/faults.ts';
import { injectedFuelMass, lambdaOfInjectedFuel } from '../physics/loops.ts';
import { type CylinderState, cylindersChanged, whyEngineStops } from './cylinders.ts';
import { type BoostLimit, measures, type State, stateUnder, waysOf } from './state.ts';

/** A value that a fault changes at an operating point. */
export interface Effect {
  readonly id: string;
  /** Undefined if the value exists only under the fault. */
  readonly normal: DerivedValue | undefined;
  readonly value: DerivedValue;
  /** Of a mixture: the manifold pressure (Pa, absolute) at which it burns; undefined if that is unknown. */
  readonly pressure?: number | undefined;
}

/** What a fault does at an operating point. */
export interface PointEffects {
  readonly point: OperatingPoint;
  /** The real state of the engine, and the one for which the controller computes fuel and spark. */
  readonly actual: OperatingPoint;
  readonly assumed: OperatingPoint;
  /** The sensor reads a value from which no mixture follows, such as a negative absolute pressure. */
  readonly isMixtureUnknown: boolean;
  /** What limits a manifold pressure that no longer follows its target. */
  readonly limitedBy: BoostLimit | undefined;
  readonly effects: readonly Effect[];
}

const delivered: Naming = { id: 'lambda', label: 'Lambda' };
const cylinderLambda: Naming = { id: 'lambda_of_cylinder', label: 'Lambda of the cylinder' };
const firing: Naming = { id: 'cylinders_firing', label: 'Cylinders that fire' };
const powerLeft: Naming = { id: 'estimated_power', label: 'Power left, at most' };
const assumedPressure: Naming = {
  id: 'assumed_manifold_pressure',
  label: 'Manifold pressure that the controller assumes',
};
const runawayLambda: Naming = {
  id: 'lambda_at_compressor_limit',
  label: 'Lambda at the pressure of the compressor limit',
};

/** The engine with a fault. */
export interface FaultyEngine {
  readonly installation: Installation;
  readonly fault: SingleFault;
  /** Why no cylinder fires, if that is so. */
  readonly stops: string | undefined;
  readonly cylinders: readonly CylinderState[];
}

export const faultyEngine = (installation: Installation, fault: SingleFault): FaultyEngine => ({
  installation,
  fault,
  stops: whyEngineStops(installation.configuration, fault.loss),
  cylinders: cylindersChanged(installation.configuration, fault.loss),
});

/**
 * The effects of a fault at an operating point: only values that it changes. After a changeover, the engine continues at the
 * point `after` of the standby controller.
 */
export function effectsAt(
  { installation, fault, stops, cylinders }: FaultyEngine,
  sound: OperatingPoint,
  after?: OperatingPoint,
): PointEffects {
  const { configuration } = installation;
  const point = after ?? withSelectedSet(installation, fault, sound);
  // The standby controller holds tables over what it reads, so a sensor that it does not read is no fault.
  const ways = after ? [] : waysOf(installation, fault);
  const { actual, assumed, limitedBy } = stateUnder(installation, fault, point, ways);
  const place = (naming: Naming, result: Result): DerivedValue =>
    derivedValue(naming, placedIn(sound.configuration, result), sound.node);
  const effects: Effect[] = [];
  const add: Add = (naming, normal, result, state) => {
    if (!result || (normal && isSame(normal.canonical, result.canonical))) return;
    const pressure = state?.number(manifoldPressure);
    effects.push({ id: naming.id, normal, value: place(naming, result), ...(state && { pressure }) });
  };
  const addValue = (value: PointValue, state: OperatingPoint) =>
    add(value, sound.get(value), state.get(value)?.result);

  let isMixtureUnknown = false;
  if (stops === undefined) {
    addValue(manifoldPressure, actual);
    const isAssumedOther = !isSame(assumed.number(manifoldPressure), actual.number(manifoldPressure));
    if (isAssumedOther)
      add(assumedPressure, actual.get(manifoldPressure), assumed.get(manifoldPressure)?.result);
    isMixtureUnknown = !addMixture(fault, { sound, point, actual, assumed }, add);
    addValue(injectorDuty, assumed);
    addValue(ignitionAdvance, assumed);
    for (const state of cylinders) addCylinder(state, actual, add);
  }
  const dead = stops === undefined ? deadOf(cylinders) : configuration.engine?.cylinders?.canonical;
  const power = actual.get(estimatedPower);
  if (dead === undefined || dead === 0) {
    addValue(estimatedPower, actual);
    return { point: sound, actual, assumed, isMixtureUnknown, limitedBy, effects };
  }
  const left = apply(physics.cylindersFiring, {
    cylinders: configuration.engine?.cylinders,
    dead: { canonical: dead, how: stops ?? 'without fuel or spark' },
  });
  const all = apply(physics.cylindersFiring, { cylinders: configuration.engine?.cylinders, dead: NONE });
  add(firing, all && place(firing, all), left);
  add(
    powerLeft,
    sound.get(estimatedPower),
    apply(physics.powerOfFiringCylinders, {
      power,
      firing: left,
      cylinders: configuration.engine?.cylinders,
    }),
  );
  return { point: sound, actual, assumed, isMixtureUnknown, limitedBy, effects };
}

const NONE: Operand = { canonical: 0, how: 'without a fault' };

/** Adds an effect, if it is one; `state` is that in which a mixture burns. */
type Add = (
  naming: Naming,
  normal: DerivedValue | undefined,
  result: Result | undefined,
  state?: OperatingPoint,
) => void;

/** Relative difference up to which a value counts as unchanged. */
const NOTHING = 1e-9;

const isSame = (a: number | undefined, b: number | undefined): boolean =>
  a === b || (a !== undefined && b !== undefined && Math.abs(a - b) < NOTHING * Math.abs(a));

const deadOf = (cylinders: readonly CylinderState[]): number =>
  cylinders.filter(({ isWithoutFuel, isWithoutSpark }) => isWithoutFuel || isWithoutSpark).length;

/** The point with the map set that a failed selector switch selects. */
function withSelectedSet(
  { configuration: { map_sets: mapSets }, engines }: Installation,
  { fault, loss }: SingleFault,
  point: OperatingPoint,
): OperatingPoint {
  const selector = mapSets?.selector?.text;
  if (loss.controller || selector === undefined || !loss.inputs.has(selector)) return point;
  const position = fault === 'shorted_to_ground' ? 'closed' : 'open';
  const selected = Object.entries(mapSets?.sets ?? {}).find(([, { when }]) => when?.text === position)?.[0];
  if (selected === undefined || selected === point.engine.mapSet) return point;
  const engine = engines.find(({ mapSet }) => mapSet === selected);
  return engine ? new OperatingPoint(point.name, stateEngine(engine), point.conditions, point.node) : point;
}

interface Mixture extends State {
  readonly sound: OperatingPoint;
  readonly point: OperatingPoint;
}

/**
 * Lambda at the pressure of the point, the same value as among the derived values of the file, and, if boost runs away, at
 * the pressure that it reaches. False if the mixture is known without the fault and not with it.
 */
function addMixture(fault: SingleFault, { sound, point, actual, assumed }: Mixture, add: Add): boolean {
  const normal = sound.get(targetLambda);
  if (assumed === actual) {
    add(delivered, normal, actual.get(targetLambda)?.result, actual);
    return true;
  }
  const isRunaway = !isSame(actual.number(manifoldPressure), point.number(manifoldPressure));
  const isThrottle = fault.way !== undefined && measures(fault.way) === 'throttle_position';
  const burning = isRunaway && !isThrottle ? point : actual;
  const mixture = faultedLambda({ assumed, actual: burning });
  add(delivered, normal, mixture, burning);
  if (burning !== actual) add(runawayLambda, normal, faultedLambda({ assumed, actual }), actual);
  return mixture !== undefined || faultedLambda({ assumed: point, actual: point }) === undefined;
}

/** The mixture of a cylinder with fewer injectors, or with one that never closes. */
function addCylinder(state: CylinderState, point: OperatingPoint, add: Add): void {
  const { configuration } = point;
  const lambda = point.get(targetLambda);
  const { injectors, working, isFlooded, cylinder } = state;
  const naming = { ...cylinderLambda, label: `Lambda of cylinder ${cylinder}` };
  if (isFlooded && injectors === 1) {
    const injected = apply(injectedFuelMass, {
      pulseWidth: point.get(cycleTime),
      cycleTime: point.get(cycleTime),
      deadTime: { canonical: 0, how: 'the injector stays open' },
      flow: point.get(injectorFlow),
      fuelDensity: fuelDensity(configuration),
      injectorsPerCylinder: injectorsPerCylinder(configuration),
      injections: injections(configuration),
    });
    add(
      naming,
      lambda,
      apply(lambdaOfInjectedFuel, { lambda, fuelMass: point.get(fuelMassPerCycle), injected }),
      point,
    );
  } else if (!isFlooded && working > 0 && working < injectors) {
    const counts = {
      outputs: { canonical: injectors, how: 'outputs in the file' },
      left: { canonical: working, how: 'without the lost one' },
    };
    add(naming, lambda, apply(physics.lambdaOfFewerInjectors, { lambda, ...counts }), point);
  }
}
