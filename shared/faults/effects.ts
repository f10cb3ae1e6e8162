import type { Installation } from '../configuration/installation.ts';
import {
  availableManifoldPressure,
  manifoldPressure,
  targetManifoldPressure,
} from '../derived/charge-air.ts';
import { stateEngine } from '../derived/core-engine.ts';
import { cycleTime } from '../derived/cylinder.ts';
import { faultedLambda, faultedPoint, type SensorFault, sensorFaults } from '../derived/faults.ts';
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
  withReason,
} from '../derived/value.ts';
import * as physics from '../physics/faults.ts';
import { injectedFuelMass, lambdaOfInjectedFuel } from '../physics/loops.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type CylinderState, cylindersChanged, whyEngineStops } from './cylinders.ts';
import { lostQuantities } from './lost.ts';

/** A value that a fault changes at an operating point. */
export interface Effect {
  readonly id: string;
  /** Undefined if the value exists only under the fault. */
  readonly normal: DerivedValue | undefined;
  readonly value: DerivedValue;
}

/** What a fault does at an operating point. */
export interface PointEffects {
  readonly point: OperatingPoint;
  /** The real state of the engine, and the one for which the controller computes fuel and spark. */
  readonly actual: OperatingPoint;
  readonly assumed: OperatingPoint;
  /** The sensor reads a value from which no mixture follows, such as a negative absolute pressure. */
  readonly isMixtureUnknown: boolean;
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
  const { actual, assumed } = stateUnder(installation, fault, point, ways);
  const place = (naming: Naming, result: Result): DerivedValue =>
    derivedValue(naming, placedIn(sound.configuration, result), sound.node);
  const effects: Effect[] = [];
  const add = (naming: Naming, normal: DerivedValue | undefined, result: Result | undefined) => {
    if (!result || (normal && isSame(normal.canonical, result.canonical))) return;
    effects.push({ id: naming.id, normal, value: place(naming, result) });
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
    return { point: sound, actual, assumed, isMixtureUnknown, effects };
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
  return { point: sound, actual, assumed, isMixtureUnknown, effects };
}

const NONE: Operand = { canonical: 0, how: 'without a fault' };

type Add = (naming: Naming, normal: DerivedValue | undefined, result: Result | undefined) => void;

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

/** The ways in which the lost sensors fail: that of the fault, or the substitute values of all that have one. */
function waysOf(installation: Installation, { way, loss }: SingleFault): readonly SensorFault[] {
  if (way || loss.controller) return way ? [way] : [];
  return sensorFaults(installation).filter((one) => one.case === 'substitute' && loss.sensors.has(one.name));
}

const measures = ({ sensor }: SensorFault): string | undefined =>
  measuredQuantity(sensor.measures?.text ?? '')?.entry.name;

interface State {
  readonly actual: OperatingPoint;
  readonly assumed: OperatingPoint;
}

function stateUnder(
  installation: Installation,
  fault: SingleFault,
  point: OperatingPoint,
  ways: readonly SensorFault[],
): State {
  let [actual, assumed] = [point, point];
  for (const way of ways) {
    if (measures(way) === 'throttle_position') actual = faultedPoint(actual, way).actual;
    assumed = faultedPoint(assumed, way).assumed;
  }
  if (isWastegateLost(installation, fault)) {
    // The cut acts only while the controller knows the pressure.
    const isBlind = lostQuantities(installation.configuration, fault.loss)('manifold_pressure');
    actual = withClosedWastegate(actual, isBlind ? undefined : actual.configuration.boost?.overboost_cut);
    // The controller measures the pressure that there is, unless that sensor is lost too.
    if (!ways.some((way) => measures(way) === 'manifold_pressure')) assumed = actual;
  } else if (runsAway(assumed, actual, ways)) actual = withClosedWastegate(actual, undefined);
  return { actual, assumed };
}

function isWastegateLost({ configuration }: Installation, { loss }: SingleFault): boolean {
  return (
    configuration.boost !== undefined &&
    !loss.controller &&
    [...loss.outputs].some((name) => configuration.outputs?.[name]?.drives?.text.startsWith('wastegate'))
  );
}

/** Whether the controller reads less than the boost target and so keeps closing the wastegate. */
function runsAway(assumed: OperatingPoint, actual: OperatingPoint, ways: readonly SensorFault[]): boolean {
  if (!actual.configuration.boost || !ways.some((way) => measures(way) === 'manifold_pressure')) return false;
  const [read, target] = [assumed.number(manifoldPressure), actual.number(targetManifoldPressure)];
  return read !== undefined && target !== undefined && read < target;
}

/**
 * The point with a closed wastegate: at the pressure that the compressor can give, or at the cut if that is lower. The same
 * point if its pressure is higher already.
 */
function withClosedWastegate(point: OperatingPoint, cut: Operand | undefined): OperatingPoint {
  const available = point.get(availableManifoldPressure);
  if (!available) return point;
  const states = [withReason(available, 'the compressor limit, with the wastegate closed'), cut].flatMap(
    (manifoldPressure) => (manifoldPressure ? point.inState({ ...point.conditions, manifoldPressure }) : []),
  );
  const pressureOf = (state: OperatingPoint) => state.number(manifoldPressure) ?? Number.NaN;
  const lowest = states.reduce((least, one) => (pressureOf(one) < pressureOf(least) ? one : least));
  return pressureOf(lowest) > pressureOf(point) ? lowest : point;
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
    add(delivered, normal, actual.get(targetLambda)?.result);
    return true;
  }
  const isRunaway = !isSame(actual.number(manifoldPressure), point.number(manifoldPressure));
  const isThrottle = fault.way !== undefined && measures(fault.way) === 'throttle_position';
  const mixture = faultedLambda({ assumed, actual: isRunaway && !isThrottle ? point : actual });
  add(delivered, normal, mixture);
  if (isRunaway && !isThrottle) add(runawayLambda, normal, faultedLambda({ assumed, actual }));
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
    );
  } else if (!isFlooded && working > 0 && working < injectors) {
    const counts = {
      outputs: { canonical: injectors, how: 'outputs in the file' },
      left: { canonical: working, how: 'without the lost one' },
    };
    add(naming, lambda, apply(physics.lambdaOfFewerInjectors, { lambda, ...counts }));
  }
}
