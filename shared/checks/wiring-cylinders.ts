import type { EngineConfiguration, Output } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { cylindersOf, outputsThatDrive } from '../derived/loads.ts';
import { sensorsByQuantity } from '../derived/sensor-reading.ts';
import { maximumOf } from '../extremes.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { keyNode } from '../source/source-file.ts';
import type { Node } from '../source/tree.ts';
import { missingLight, missingSensor, unknownCylinder } from './causes.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { listed } from './words.ts';

const cylinderWords = (cylinders: readonly number[]): string =>
  `${cylinders.length === 1 ? 'Cylinder' : 'Cylinders'} ${listed(cylinders.map(String))}`;

/** The number of outputs of one kind for each cylinder, from the first; all zero if no output names a cylinder. */
function served(cylinders: number, groups: readonly (readonly number[])[]): number[] {
  const named = groups.flat();
  return Array.from({ length: cylinders }, (_, i) => named.filter((one) => one === i + 1).length);
}

interface Gap extends Found {
  /** Whether more than half of the cylinders are missing. */
  readonly isBegun: boolean;
  readonly cylinders: readonly number[];
}

/**
 * Cylinders that have none of something that others have or, if all have some, fewer than others. A list that names no
 * cylinder has no gap.
 */
function* gap(
  { engine }: EngineConfiguration,
  at: Node | undefined,
  groups: readonly (readonly number[])[],
  what: string,
): Generator<Gap> {
  const cylinders = engine?.cylinders?.canonical;
  if (!at || !cylinders || !Number.isInteger(cylinders) || cylinders > 24) return;
  const counts = served(cylinders, groups);
  const most = maximumOf(counts);
  if (most === 0) return;
  const isNone = counts.includes(0);
  const enough = isNone ? 1 : most;
  const short = counts.flatMap((count, i) => (count < enough ? [i + 1] : []));
  if (short.length === 0) return;
  const whole = counts.flatMap((count, i) => (count >= enough ? [i + 1] : []));
  const verb = (cylinders: readonly number[]) => (cylinders.length === 1 ? 'has' : 'have');
  const others = cylinderWords(whole).replace('C', 'c');
  const compared = isNone
    ? `no ${what}; ${others} ${verb(whole)} one`
    : `fewer ${what}s than ${others}, which ${verb(whole)} ${most}${whole.length === 1 ? '' : ' each'}`;
  yield {
    at,
    message: `${cylinderWords(short)} ${verb(short)} ${compared}.`,
    isBegun: short.length > cylinders / 2,
    cylinders: short,
  };
}

const cylinderGroups = (configuration: EngineConfiguration, load: 'injector' | 'ignition'): number[][] =>
  outputsThatDrive(configuration, load).map(({ output }) => cylindersOf(output));

const outputsNode = ({ outputs }: EngineConfiguration): Node | undefined => outputs && nodeOf(outputs);

/** If more than half of the cylinders are missing, the list is taken to be unfinished. */
const graded = ({ isBegun, cylinders, ...found }: Gap): Found => ({
  ...found,
  severity: isBegun ? 'warning' : 'error',
});

export const cylinderWithoutInjector: Check = engineCheck({
  id: 'cylinder-without-injector',
  severity: 'error',
  title: 'Cylinder without injector',
  onStandby: true,
  page: {
    catches:
      'An engine with injector outputs for some cylinders but not for others. It is only a warning while more than half are missing, as in an unfinished list.',
    why: 'A cylinder without fuel gives no power, and the engine runs rough.',
    example:
      'engine: { cylinders: 4 }\noutputs:\n  injector_1: { drives: injector, cylinder: 1 }\n  injector_2: { drives: injector, cylinder: 2 }\n  injector_3: { drives: injector, cylinder: 3 }',
    remedy: 'Add the output, or list all cylinders that one output serves under `cylinders`.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration } }) {
    const groups = cylinderGroups(configuration, 'injector');
    for (const one of gap(configuration, outputsNode(configuration), groups, 'injector')) yield graded(one);
  },
});

export const cylinderWithoutIgnition: Check = engineCheck({
  id: 'cylinder-without-ignition',
  severity: 'error',
  title: 'Cylinder without ignition',
  onStandby: true,
  page: {
    catches:
      'An engine with ignition outputs for some cylinders but not for others, or with fewer coils for some. The one output of a distributor serves all cylinders. It is only a warning while more than half are missing.',
    why: 'A cylinder with fuel but no spark sends the fuel unburnt into the hot exhaust and turbine.',
    example:
      'engine: { cylinders: 4 }\noutputs:\n  ignition_1: { drives: ignition, cylinders: [1, 4] }   # and none for 2 and 3',
    remedy: 'Add the output, or list both cylinders of a wasted-spark coil under `cylinders`.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration } }) {
    if (configuration.ignition?.arrangement?.text === 'distributor') return;
    const groups = cylinderGroups(configuration, 'ignition');
    for (const one of gap(configuration, outputsNode(configuration), groups, 'ignition output'))
      yield graded(one);
  },
});

/** The cylinder of each exhaust temperature sensor that is for a single cylinder. */
function exhaustCylinders({ sensors }: EngineConfiguration): { cylinder: number; node: Node }[] {
  const measuring = (sensors && sensorsByQuantity(sensors).get('exhaust_gas_temperature')) ?? [];
  return measuring.flatMap(([, { measures }]) => {
    const cylinder = measuredQuantity(measures!.text)?.index;
    return cylinder === undefined ? [] : [{ cylinder, node: measures!.node }];
  });
}

export const cylinderWithoutExhaustSensor: Check = engineCheck({
  id: 'cylinder-without-exhaust-sensor',
  severity: 'warning',
  title: 'Cylinder without exhaust temperature sensor',
  page: {
    catches:
      'An engine that measures the exhaust temperature of at least half of its cylinders, but not of all.',
    why: 'The leanest cylinder fails first. If its exhaust temperature is not measured, nobody notices in time.',
    example:
      'engine: { cylinders: 4 }\nsensors:\n  egt_1: { measures: "exhaust_gas_temperature[1]" }\n  egt_2: { measures: "exhaust_gas_temperature[2]" }\n  egt_3: { measures: "exhaust_gas_temperature[3]" }',
    remedy:
      'Add the sensor, or measure one common temperature upstream of the turbine (`exhaust_gas_temperature`).',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    const sensors = configuration.sensors && nodeOf(configuration.sensors);
    const groups = exhaustCylinders(configuration).map(({ cylinder }) => [cylinder]);
    const what = 'exhaust temperature sensor';
    for (const { isBegun, cylinders, ...found } of gap(configuration, sensors, groups, what)) {
      if (isBegun) continue;
      const [only, ...others] = cylinders;
      const quantity = `exhaust_gas_temperature[${only}]`;
      yield { ...found, cause: others.length > 0 ? undefined : missingSensor(quantity, true) };
    }
  },
});

/** The cylinder of each sensor that is for a single one, such as of its head or exhaust. */
const measuredCylinders = ({ sensors }: EngineConfiguration) =>
  Object.values(sensors ?? {}).flatMap(({ measures }) => {
    const cylinder = measures && measuredQuantity(measures.text)?.index;
    return cylinder === undefined ? [] : [{ cylinder, node: measures!.node }];
  });

const namedCylinders = ({ cylinder, cylinders }: Output) => [
  ...(cylinder ? [cylinder] : []),
  ...(cylinders?.items ?? []),
];

/** The cylinders with a fuel trim, at their keys. */
const trimmedCylinders = ({ configuration: { fuel } }: Engine) =>
  Object.entries(fuel?.cylinder_trim ?? {}).map(([name, { node }]) => ({
    cylinder: Number(name),
    node: keyNode(node),
  }));

export const cylinderUnknown: Check = engineCheck({
  id: 'cylinder-unknown',
  severity: 'error',
  title: 'Unknown cylinder',
  page: {
    catches:
      'An output, a sensor or a fuel trim for a cylinder that the engine does not have. All uses of one cylinder are reported as one finding.',
    why: 'The output, sensor or trim is never used, and the cylinder that it is meant for has none.',
    example: 'engine: { cylinders: 4 }\noutputs:\n  injector_5: { drives: injector, cylinder: 5, pin: C5 }',
    remedy: 'Correct the cylinder or the number of cylinders.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines } }) {
    const cylinders = configuration.engine?.cylinders;
    if (!cylinders) return;
    const outputs = Object.values(configuration.outputs ?? {}).flatMap(namedCylinders);
    const named = [
      ...outputs.map(({ canonical, node }) => ({ cylinder: canonical, node })),
      ...measuredCylinders(configuration),
      ...engines.flatMap(trimmedCylinders),
    ];
    for (const { cylinder, node } of named) {
      if (cylinder >= 1 && cylinder <= cylinders.canonical) continue;
      yield {
        at: node,
        message: `Cylinder ${cylinder} does not exist; the engine has ${counted(cylinders.canonical, 'cylinder')}.`,
        related: [{ at: cylinders.node, message: 'The number of cylinders.' }],
        cause: unknownCylinder(cylinder),
      };
    }
  },
});

export const lightMissing: Check = engineCheck({
  id: 'light-missing',
  severity: 'error',
  title: 'Light missing',
  page: {
    catches:
      'A limit with the action `light` when no output drives a light with the meaning that it needs. All limits that need the same light are reported as one finding.',
    why: 'The controller detects the fault, but the pilot does not learn of it and so does not close the throttle.',
    example:
      'protection:\n  oil_pressure_low: { watches: oil_pressure, below: { warning: 0.7 bar gauge }, action: [light] }\noutputs:\n  caution_light: { drives: light, pin: C13, meaning: caution }   # and no light with the meaning warning',
    remedy: 'Add an output that drives a light of that meaning, or remove the action.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines } }) {
    // Without an `outputs` section nothing is known about lights.
    if (!configuration.outputs) return;
    const lights = new Set(
      outputsThatDrive(configuration, 'light').map(({ output }) => output.meaning?.text),
    );
    for (const engine of engines) {
      for (const [name, { action, below, above }] of Object.entries(engine.configuration.protection ?? {})) {
        const light = action?.items.find(({ text }) => text === 'light');
        const needed = (['caution', 'warning'] as const).filter((one) => below?.[one] ?? above?.[one]);
        for (const meaning of light ? needed : []) {
          if (lights.has(meaning)) continue;
          yield {
            at: light!.node,
            message: `${quote(name)} needs a light with the meaning \`${meaning}\`, but no output drives one.`,
            cause: missingLight(meaning),
          };
        }
      }
    }
  },
});
