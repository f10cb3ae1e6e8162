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
  title: 'Knock frequency off bore resonance',
  page: {
    catches:
      'A knock sensor whose frequency differs from the first circumferential resonance of the bore by more than the tolerance.',
    why: 'Detonation makes the gas in the cylinder ring like a bell, at a frequency set by the bore. A filter at another frequency picks up valves and bearings and misses the knock.',
    example:
      'engine:\n  bore: 76 mm   # resonates at 7.3 kHz\nsensors:\n  knock: { kind: knock, frequency: 5.5 kHz }',
    remedy:
      'Write the resonance of the bore. If a measured spectrum shows another frequency, set a wider tolerance and give that as the reason.',
    basis:
      'C. S. Draper, NACA Report 493 (1934): the first circumferential mode. The tolerance covers the uncertainty of the speed of sound in burned gas: common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'ratio',
      value: '10 %',
      meaning: 'Uncertainty of the speed of sound in burned gas.',
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
        message: `Knock frequency ${frequency.node.text} differs by ${difference(frequency.canonical, resonance.canonical)} from ${valueText(resonance)}, the resonance of the ${bore.node.text} bore.`,
        related: [{ at: bore.node, message: `${resonance.label}: ${resonance.substituted}` }],
        fixes: [
          {
            title: `Change to ${text}, the resonance of the bore`,
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
  title: 'Knock window overlaps next spark',
  page: {
    catches:
      'A knock window that is still open when the next cylinder sparks at the highest advance of the map. The shortest of `engine.firing_intervals` counts; without them, firing is even. With an odd number of cylinders, wasted sparks count too.',
    why: 'A spark is the strongest interference in the harness. Inside the window it looks like knock in the previous cylinder, and the controller retards a cylinder that does not knock.',
    example:
      'engine: { cylinders: 6, ... }   # fires every 120 deg; at 34 deg advance the next spark comes after 86 deg\nsensors:\n  knock: { kind: knock, window: { from: 10 deg, to: 95 deg } }',
    remedy: 'End the window before the next spark. Detonation is over long before then.',
    basis: 'Arithmetic: firing interval minus the highest advance.',
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
        message: `The knock window closes at ${end.node.text} after top dead centre, but the next cylinder can spark as early as ${valueText(spark)} (${spark.substituted}).`,
        related: advance?.node ? [{ at: advance.node, message: 'The highest advance of the map.' }] : [],
      };
    }
  },
});

export const knockWindowReversed: Check = engineCheck({
  id: 'knock-window-reversed',
  severity: 'error',
  title: 'Knock window never opens',
  page: {
    catches: 'A knock window whose closing angle is not after its opening angle.',
    why: 'The controller listens between the two angles after top dead centre. If they are reversed it hears nothing, and a detonating engine appears healthy.',
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
        message: `The knock window opens at ${from.node.text} after top dead centre and closes at ${to.node.text}, so it is never open.`,
        related: [{ at: from.node, message: 'The opening angle.' }],
      };
    }
  },
});

export const knockStepExceedsMaximum: Check = engineCheck({
  id: 'knock-step-exceeds-maximum',
  severity: 'warning',
  title: 'Retard step exceeds maximum retard',
  page: {
    catches: 'A knock loop whose `retard_step` is greater than its `maximum_retard`.',
    why: 'The first knock, or the first noise mistaken for one, uses all the retard at once, and the loop has none left for the second.',
    example: 'closed_loop:\n  knock: { sensor: knock, retard_step: 12 deg, maximum_retard: 10 deg }',
    remedy: 'Choose a step that fits into the maximum several times.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const { retard_step: step, maximum_retard: maximum } = configuration.closed_loop?.knock ?? {};
      if (!step || !maximum || !passes(step.canonical, maximum.canonical)) continue;
      yield {
        at: step.node,
        message: `The retard step of ${step.node.text} exceeds the maximum retard of ${maximum.node.text}.`,
        related: [{ at: maximum.node, message: 'The maximum retard.' }],
      };
    }
  },
});
