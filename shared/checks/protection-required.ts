import type { EngineConfiguration } from '../../generated/configuration.ts';
import { nodeOf, nodesOf } from '../configuration/values.ts';
import { limitsOf, limitsOfAll } from '../derived/protection.ts';
import { sensorsMeasuring } from '../derived/sensor-reading.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, engineCheck } from './check.ts';
import { quote } from './form-words.ts';

/** The actions of a limit that bring down the manifold pressure. */
const RELIEVING: readonly string[] = ['fuel-cut', 'ignition-cut', 'reduce-boost', 'limp'];

/** Whether a limit on manifold pressure does what the cut does. */
const isLimited = (configuration: EngineConfiguration): boolean =>
  limitsOf(configuration).some(
    ({ watches, direction, section }) =>
      direction === 'above' &&
      measuredQuantity(watches)?.entry.name === 'manifold_pressure' &&
      section.action?.items.some(({ text }) => RELIEVING.includes(text)),
  );

export const overboostCutMissing: Check = engineCheck({
  id: 'overboost-cut-missing',
  severity: 'warning',
  title: 'Overboost cut missing',
  onStandby: true,
  page: {
    catches:
      'A boosted engine without `overboost_cut` and without a limit on manifold pressure that cuts fuel or spark or reduces boost.',
    why: 'A stuck wastegate or a split hose to its diaphragm lets the turbocharger build all the pressure that it can. Without a cut the engine detonates until a piston fails.',
    example: 'boost: { control: servo-wastegate, target: { ... }, compressor: { ... } }   # no overboost_cut',
    remedy: 'Add `overboost_cut` above the highest target, with a margin for overshoot.',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const { boost } = configuration;
      if (!boost?.target || boost.overboost_cut || isLimited(configuration)) continue;
      // A cut that cannot be read has a finding of its own.
      if (nodesOf(boost).some((layer) => layer.entry('overboost_cut'))) continue;
      yield {
        at: keyNode(nodeOf(boost)),
        message:
          'The engine is boosted, but has no `overboost_cut` and no limit that relieves the manifold pressure.',
        cause: 'no overboost cut',
      };
      return;
    }
  },
});

export const actionWithoutEffect: Check = engineCheck({
  id: 'action-without-effect',
  severity: 'warning',
  title: 'Action without effect',
  page: {
    catches: 'A limit with the action `reduce-boost` on an engine without boost.',
    why: 'In the file the limit seems to protect the engine, but nothing happens when it trips.',
    example:
      'protection:\n  coolant_hot: { watches: coolant_temperature, above: { warning: 115 °C }, action: [reduce-boost] }   # no boost section',
    remedy: 'Use an action that this engine can take, such as `light` or `limp`.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      if (configuration.boost) continue;
      for (const [name, { action }] of Object.entries(configuration.protection ?? {})) {
        const reduce = action?.items.find(({ text }) => text === 'reduce-boost');
        if (!reduce) continue;
        yield { at: reduce.node, message: `${quote(name)} reduces boost, but the engine has none.` };
      }
    }
  },
});

export const oilPressureLimitMissing: Check = engineCheck({
  id: 'oil-pressure-limit-missing',
  severity: 'warning',
  title: 'Oil pressure limit missing',
  page: {
    catches:
      'An oil pressure that a sensor measures and that no lower limit watches, in a file with a `protection` section.',
    why: 'An engine without oil pressure fails within a minute. The sensor is there, but the pilot must read the gauge at the right moment.',
    example:
      'sensors:\n  oil_pressure: { measures: oil_pressure, kind: linear, scaling: { ... } }\nprotection:\n  overspeed: { ... }   # and no limit watches oil_pressure',
    remedy: 'Add a limit with a light.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    const { configuration } = installation;
    const [sensor] = sensorsMeasuring(configuration, 'oil_pressure');
    if (!configuration.protection || !sensor) return;
    if (
      limitsOfAll(installation).some(
        ({ watches, direction }) => watches === 'oil_pressure' && direction === 'below',
      )
    )
      return;
    yield {
      at: sensor[1].measures!.node,
      message: `${quote(sensor[0])} measures the oil pressure, but no limit warns when it is low.`,
    };
  },
});
