import type { EngineConfiguration, Output } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { cylindersOf, outputsThatDrive } from '../derived/loads.ts';
import { sensorsByQuantity } from '../derived/sensor-reading.ts';
import { maximumOf } from '../extremes.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { keyOf } from '../source/source-file.ts';
import type { Node } from '../source/tree.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { listed } from './words.ts';

const cylinderWords = (cylinders: readonly number[]): string =>
  `${cylinders.length === 1 ? 'Cylinder' : 'Cylinders'} ${listed(cylinders.map(String))}`;

/** How many outputs of some kind serve each cylinder, from the first; none where no output names a cylinder. */
function served(cylinders: number, groups: readonly (readonly number[])[]): number[] {
  const named = groups.flat();
  return Array.from({ length: cylinders }, (_, i) => named.filter((one) => one === i + 1).length);
}

/**
 * A gap: cylinders that have none of something that others have, else fewer of it. A list that names no cylinder has no
 * gap.
 */
function* gap(
  { engine }: EngineConfiguration,
  at: Node | undefined,
  groups: readonly (readonly number[])[],
  what: string,
): Generator<Found & { readonly isBegun: boolean }> {
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
  const have = isNone ? `no ${what}` : `fewer ${what} outputs`;
  yield {
    at,
    message: `${cylinderWords(short)} ${verb(short)} ${have}; ${listed(whole.map(String))} ${verb(whole)}${isNone ? '' : ` ${most}`}.`,
    isBegun: short.length > cylinders / 2,
  };
}

const cylinderGroups = (configuration: EngineConfiguration, load: 'injector' | 'ignition'): number[][] =>
  outputsThatDrive(configuration, load).map(({ output }) => cylindersOf(output));

const outputsNode = ({ outputs }: EngineConfiguration): Node | undefined => outputs && nodeOf(outputs);

/** With more than half of the cylinders missing, the list is only begun. */
const graded = ({ isBegun, ...found }: Found & { readonly isBegun: boolean }): Found => ({
  ...found,
  severity: isBegun ? 'warning' : 'error',
});

export const cylinderWithoutInjector: Check = engineCheck({
  id: 'cylinder-without-injector',
  severity: 'error',
  title: 'A cylinder without an injector',
  page: {
    catches:
      'An engine whose outputs drive injectors for some cylinders and leave others out. It is a warning while more than half are missing, as in a list that is only begun.',
    why: 'A cylinder without fuel is dragged along: the engine loses its power and shakes.',
    example:
      'engine: { cylinders: 4 }\noutputs:\n  injector_1: { drives: injector, cylinder: 1 }\n  injector_2: { drives: injector, cylinder: 2 }\n  injector_3: { drives: injector, cylinder: 3 }',
    remedy: 'Add the output, or name all cylinders that one output serves under `cylinders`.',
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
  title: 'A cylinder without ignition',
  page: {
    catches:
      'An engine whose outputs fire some cylinders and leave others out, or fire some with fewer coils. One output of a distributor serves all. It is a warning while more than half are missing.',
    why: 'A cylinder that gets fuel and no spark sends it unburnt into a hot exhaust and turbine.',
    example:
      'engine: { cylinders: 4 }\noutputs:\n  ignition_1: { drives: ignition, cylinders: [1, 4] }   # and none for 2 and 3',
    remedy: 'Add the output, or name both cylinders of a wasted-spark coil under `cylinders`.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration } }) {
    if (configuration.ignition?.arrangement?.text === 'distributor') return;
    const groups = cylinderGroups(configuration, 'ignition');
    for (const one of gap(configuration, outputsNode(configuration), groups, 'ignition')) yield graded(one);
  },
});

/** The cylinder of each exhaust temperature that is measured cylinder by cylinder. */
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
  title: 'A gap in the exhaust temperature sensors',
  page: {
    catches:
      'An engine that measures the exhaust temperature of at least half of its cylinders, and not of the others.',
    why: 'The leanest cylinder is the one that is lost first. Unmeasured, it is the one nobody sees.',
    example:
      'engine: { cylinders: 4 }\nsensors:\n  egt_1: { measures: "exhaust_gas_temperature[1]" }\n  egt_2: { measures: "exhaust_gas_temperature[2]" }\n  egt_3: { measures: "exhaust_gas_temperature[3]" }',
    remedy:
      'Add the sensor, or measure one common temperature ahead of the turbine (`exhaust_gas_temperature`).',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    const sensors = configuration.sensors && nodeOf(configuration.sensors);
    const groups = exhaustCylinders(configuration).map(({ cylinder }) => [cylinder]);
    for (const { isBegun, ...found } of gap(configuration, sensors, groups, 'exhaust temperature sensor')) {
      if (!isBegun) yield found;
    }
  },
});

const namedCylinders = ({ cylinder, cylinders }: Output) => [
  ...(cylinder ? [cylinder] : []),
  ...(cylinders?.items ?? []),
];

/** The cylinders that have a trim of their fuel, at their keys. */
const trimmedCylinders = ({ configuration: { fuel } }: Engine) =>
  Object.entries(fuel?.cylinder_trim ?? {}).map(([name, { node }]) => ({
    cylinder: Number(name),
    node: keyOf(node) ?? node,
  }));

export const cylinderUnknown: Check = engineCheck({
  id: 'cylinder-unknown',
  severity: 'error',
  title: 'The engine has no such cylinder',
  page: {
    catches:
      'An output, an exhaust temperature sensor or a fuel trim for a cylinder that the engine does not have.',
    why: 'It would never be used, and the cylinder that was meant has none.',
    example: 'engine: { cylinders: 4 }\noutputs:\n  injector_5: { drives: injector, cylinder: 5, pin: C5 }',
    remedy: 'Correct the cylinder, or the number of cylinders.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines } }) {
    const cylinders = configuration.engine?.cylinders;
    if (!cylinders) return;
    const outputs = Object.values(configuration.outputs ?? {}).flatMap(namedCylinders);
    const named = [
      ...outputs.map(({ canonical, node }) => ({ cylinder: canonical, node })),
      ...exhaustCylinders(configuration),
      ...engines.flatMap(trimmedCylinders),
    ];
    for (const { cylinder, node } of named) {
      if (cylinder >= 1 && cylinder <= cylinders.canonical) continue;
      yield {
        at: node,
        message: `There is no cylinder ${cylinder}; the engine has ${cylinders.node.text}.`,
        related: [{ at: cylinders.node, message: 'The number of cylinders.' }],
      };
    }
  },
});

export const lightMissing: Check = engineCheck({
  id: 'light-missing',
  severity: 'error',
  title: 'A limit lights a light that is not there',
  page: {
    catches: 'A limit with the action `light` and no output that drives a light of the meaning it needs.',
    why: 'The controller sees the fault and the pilot does not: the engine is harmed with nobody told, and the only one who could close the throttle does not know.',
    example:
      'protection:\n  oil_pressure_low: { watches: oil_pressure, below: { warning: 0.7 bar gauge }, action: [light] }\noutputs:\n  caution_light: { drives: light, pin: C13, meaning: caution }   # and none of meaning warning',
    remedy: 'Add an output that drives a light of that meaning, or take the action away.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines } }) {
    // Without any outputs described, nothing is known about lights.
    if (!configuration.outputs) return;
    const lights = new Set(
      outputsThatDrive(configuration, 'light').map(({ output }) => output.meaning?.text),
    );
    for (const engine of engines) {
      for (const [name, { action, below, above }] of Object.entries(engine.configuration.protection ?? {})) {
        const light = action?.items.find(({ text }) => text === 'light');
        const needed = (['caution', 'warning'] as const).filter((one) => below?.[one] ?? above?.[one]);
        const missing = needed.filter((meaning) => !lights.has(meaning));
        if (!light || missing.length === 0) continue;
        yield {
          at: light.node,
          message: `${name} needs a light of meaning ${listed(missing)}, and no output drives one.`,
        };
      }
    }
  },
});
