import type { Sensor } from '../../generated/configuration.ts';
import { knockFrequency, nextSpark } from '../derived/ignition.ts';
import { valueText } from '../derived/value.ts';
import { replace } from '../source/edit.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { passes } from './threshold.ts';
import { difference, formatQuantity } from './words.ts';

const knockSensors = ({ installation }: EngineSubject): Sensor[] =>
  Object.values(installation.configuration.sensors ?? {}).filter((sensor) => sensor.kind?.text === 'knock');

export const knockFrequencyOff: Check = engineCheck({
  id: 'knock-frequency-off',
  severity: 'warning',
  title: 'Knock sensor listens beside the knock',
  page: {
    catches:
      'A knock sensor whose frequency is further than the tolerance from the first circumferential resonance of the bore.',
    why: 'Detonation rings the gas in the cylinder like a bell, at a pitch that the bore sets. A filter beside that pitch hears valves and bearings, and misses the knock.',
    example:
      'engine:\n  bore: 76 mm   # rings at 7.3 kHz\nsensors:\n  knock: { kind: knock, frequency: 5.5 kHz }',
    remedy:
      'Write the resonance of the bore; where a measured spectrum shows another frequency, state a wider tolerance with that as the reason.',
    basis:
      'C. S. Draper, NACA Report 493 (1934): the first circumferential mode. The tolerance covers the speed of sound in burned gas: common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'ratio',
      value: '10 %',
      meaning: 'How well the speed of sound in burned gas is known.',
    },
  },
  *find(subject, { tolerance }) {
    const resonance = subject.derivation.one(knockFrequency);
    const bore = subject.installation.configuration.engine?.bore;
    if (!resonance || !bore) return;
    for (const { frequency } of knockSensors(subject)) {
      if (!frequency || Math.abs(frequency.canonical / resonance.canonical - 1) <= tolerance) continue;
      const text = formatQuantity(resonance.canonical, 'kHz', 2);
      yield {
        at: frequency.node,
        message: `${frequency.node.text} is ${difference(frequency.canonical, resonance.canonical)} from ${valueText(resonance)}, at which a bore of ${bore.node.text} rings.`,
        related: [{ at: bore.node, message: `${resonance.label}: ${resonance.substituted}` }],
        fixes: [
          {
            title: `Write ${text}, the resonance of the bore`,
            safety: 'choice',
            edits: [replace(frequency.node, text)],
          },
        ],
      };
    }
  },
});

export const knockWindowOverlapsSpark: Check = engineCheck({
  id: 'knock-window-overlaps-spark',
  severity: 'warning',
  title: 'Knock window reaches into the next spark',
  page: {
    catches:
      'A knock window that ends after the next cylinder, at the highest advance of the map, has sparked. Even firing is taken; of an odd number of cylinders the wasted sparks count too.',
    why: 'A spark is the loudest noise in the harness. Inside the window it looks like knock of the cylinder before, and the controller takes advance from a cylinder that is well.',
    example:
      'engine: { cylinders: 6, ... }   # fires every 120 deg; at 34 deg advance the next spark comes after 86 deg\nsensors:\n  knock: { kind: knock, window: { from: 10 deg, to: 95 deg } }',
    remedy: 'End the window before the next spark; detonation is over long before.',
    basis: 'Arithmetic: firing interval less the highest advance.',
  },
  *find(subject) {
    const sparks = new Map(subject.derivation.get(nextSpark).map((value) => [value.node, value]));
    for (const { window } of knockSensors(subject)) {
      const end = window?.to;
      const spark = end && sparks.get(end.node);
      if (!end || !spark || end.canonical < spark.canonical) continue;
      const advance = spark.inputs.find(({ node }) => node !== undefined);
      yield {
        at: end.node,
        message: `The window is open until ${end.node.text} after top dead centre, and the next cylinder may spark at ${valueText(spark)} (${spark.substituted}).`,
        related: advance?.node ? [{ at: advance.node, message: 'The highest advance of the map.' }] : [],
      };
    }
  },
});

export const knockWindowReversed: Check = engineCheck({
  id: 'knock-window-reversed',
  severity: 'error',
  title: 'Knock window that never opens',
  page: {
    catches: 'A knock window that does not end after it begins.',
    why: 'The controller listens from the one angle to the other after top dead centre. Between them there is nothing to hear, and an engine that detonates is told to be well.',
    example: 'sensors:\n  knock: { kind: knock, window: { from: 60 deg, to: 8 deg } }',
    remedy: 'Write the earlier angle first.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    for (const { window } of knockSensors(subject)) {
      const { from, to } = window ?? {};
      if (!from || !to || to.canonical > from.canonical) continue;
      yield {
        at: to.node,
        message: `The window opens at ${from.node.text} after top dead centre and closes at ${to.node.text}: it is never open.`,
        related: [{ at: from.node, message: 'It opens here.' }],
      };
    }
  },
});

export const knockStepExceedsMaximum: Check = engineCheck({
  id: 'knock-step-exceeds-maximum',
  severity: 'warning',
  title: 'One knock takes more advance than there is to take',
  page: {
    catches: 'A knock loop whose `retard_step` is greater than its `maximum_retard`.',
    why: 'The first knock, or the first noise that is taken for one, takes all at once and the loop has nothing left to answer the second with.',
    example: 'closed_loop:\n  knock: { sensor: knock, retard_step: 12 deg, maximum_retard: 10 deg }',
    remedy: 'Several steps should fit into the maximum.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const { retard_step: step, maximum_retard: maximum } = configuration.closed_loop?.knock ?? {};
      if (!step || !maximum || !passes(step.canonical, maximum.canonical)) continue;
      yield {
        at: step.node,
        message: `One knock takes ${step.node.text}, and all of them together may take ${maximum.node.text}.`,
        related: [{ at: maximum.node, message: 'The most that the loop may take.' }],
      };
    }
  },
});
