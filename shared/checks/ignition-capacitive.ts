import { nodeOf } from '../configuration/values.ts';
import { sparkEnergy, sparkEnergyAtCranking, triggerDelayAngle } from '../derived/capacitive.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import { excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated } from './words.ts';

export const capacitiveWithInductive: Check = engineCheck({
  id: 'capacitive-with-inductive',
  severity: 'warning',
  title: 'Capacitive data on an inductive ignition',
  page: {
    catches: 'An `ignition.capacitive` section without `system: capacitive`.',
    why: 'An inductive system takes its energy from the dwell of its coils. A reader cannot tell which of the two is fitted, and the checks for one of them do not run.',
    example: 'ignition:\n  system: inductive\n  capacitive: { charge_energy: { ... } }',
    remedy: 'Write `system: capacitive` if that is what is fitted, or remove the section.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration } }): Generator<Found> {
    const { capacitive, system } = configuration.ignition ?? {};
    if (!capacitive || system?.text === 'capacitive') return;
    yield {
      at: nodeOf(capacitive),
      message: `The file has data of a capacitive ignition, but the system is ${system ? 'stated as `inductive`' : '`inductive` by default'}.`,
      related: system ? [{ at: system.node, message: 'The ignition system.' }] : [],
    };
  },
});

export const sparkEnergyLow: Check = boundCheck({
  id: 'spark-energy-low',
  severity: 'warning',
  title: 'Weak capacitive spark',
  page: {
    catches:
      'A capacitive ignition with less energy per spark than usual, at cranking speed, at an operating point or in any other state in the envelope. Sparks that share one discharge share its energy.',
    why: 'Charge coils give little energy at low speed, and some lose it again at high speed. A weak spark means a hard start, or misfire of a rich or lean mixture.',
    example:
      'ignition:\n  system: capacitive\n  arrangement: wasted-spark   # two sparks per discharge\n  capacitive: { charge_energy: { ..., values: [12, 30, 45] } }   # 6 mJ each at cranking speed',
    remedy:
      'Fit charge coils for the speed, give each plug its own discharge, or correct the curve. If the engine is known to run on less, lower the limit with the reason.',
    basis:
      'Common practice, no source. A capacitive spark rises faster and is shorter than that of a coil, and fires with less energy.',
  },
  settings: {
    minimum: { kind: 'energy', value: '20 mJ', meaning: 'Minimum energy of a spark of the running engine.' },
    cranking: { kind: 'energy', value: '10 mJ', meaning: 'Minimum energy of a spark at cranking speed.' },
  },
  *find(subject, proof, { minimum, cranking }) {
    for (const start of subject.derivation.get(sparkEnergyAtCranking)) {
      if (!passes(cranking, start.canonical)) continue;
      yield {
        at: start.node,
        message: `At cranking speed a spark has only ${formatQuantity(start.canonical, 'mJ', 3)} (${start.substituted}); ${formatStated(cranking, 'mJ')} is the usual minimum.`,
      };
    }
    const energy = yield* excessOf(subject, proof, {
      ...{ value: sparkEnergy, side: 'low', limitOf: () => minimum },
    });
    yield* excessFinding(subject, energy, ({ ignition }, { reached, where }) => {
      const curve = ignition?.capacitive?.charge_energy;
      return (
        curve && {
          ...{ at: curve.node, label: 'spark energy', name: 'weakest_spark', verb: 'has' },
          message: `A spark has only ${formatQuantity(reached, 'mJ', 3)} ${where}; ${formatStated(minimum, 'mJ')} is the usual minimum`,
        }
      );
    });
  },
});

export const triggerDelayUncompensated: Check = boundCheck({
  id: 'trigger-delay-uncompensated',
  severity: 'warning',
  title: 'Trigger delay retards the spark',
  page: {
    catches:
      'A trigger delay of a capacitive ignition that makes the spark later than the advance map by more than the tolerance, at an operating point or in any other state in the envelope, if the controller does not compensate it.',
    why: 'A delay is a time, so the angle grows with speed. The engine gets less advance than the map says, most at full speed, where it costs power and makes the exhaust hotter.',
    example:
      'ignition:\n  system: capacitive\n  capacitive: { trigger_delay: { ..., unit: us, values: [150, 150] } }   # 5.2 deg at 5800 rpm',
    remedy:
      'Let the controller compensate and state `compensated: true`, or add the angle to the map and raise the tolerance with that as the reason.',
    basis: 'Arithmetic: 1 rpm is 6 degrees per second. The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: { kind: 'angle', value: '2 deg', meaning: 'Largest usual difference between map and spark.' },
  },
  *find(subject, proof, { tolerance }) {
    const limitOf = ({ ignition }: StateConfiguration) =>
      ignition?.capacitive?.compensated?.flag ? undefined : tolerance;
    const delay = yield* excessOf(subject, proof, { value: triggerDelayAngle, side: 'high', limitOf });
    yield* excessFinding(subject, delay, ({ ignition }, { reached, where }) => {
      const curve = ignition?.capacitive?.trigger_delay;
      return (
        curve && {
          ...{ at: curve.node, name: 'latest_spark' },
          message: `The trigger delay makes the spark ${formatQuantity(reached, 'deg', 3)} later than the map ${where}, and the file does not state \`compensated: true\``,
        }
      );
    });
  },
});
