import type { EngineConfiguration } from '../../generated/configuration.ts';
import { differingIn } from '../configuration/installation.ts';
import { nodesOf, type QuantityValue } from '../configuration/values.ts';
import {
  coilCurrent,
  coilCurrentAtPoint,
  coilEnergyAtMinimumSupply,
  coilEnergyAtPoint,
  dwellConfigurations,
  dwellForTargetCurrent,
  dwellShare,
  dwellShareAtMinimumSupply,
  dwellShareAtPoint,
} from '../derived/coil.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import { type DerivedValue, valueText } from '../derived/value.ts';
import { toUnit } from '../quantity/index.ts';
import { removeEntry, replace } from '../source/edit.ts';
import type { SourceFile } from '../source/source-file.ts';
import { boundCheck, type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { coilBeyond } from './coil-states.ts';
import { placesBehind } from './follows.ts';
import { difference, formatNumber, formatQuantity, formatStated, percent, percentBeside } from './words.ts';

/** The different configurations of dwell among the engines that can run. */
const dwellsOf = ({ installation }: EngineSubject) => dwellConfigurations(installation.selectable);

/** A dwell share and the engine that has it. */
interface Share {
  readonly voltage: number;
  readonly value: DerivedValue;
  readonly speed: QuantityValue | undefined;
}

/** The highest dwell share of a map set at the voltages of a running engine. Below the minimum supply it is only being cranked. */
function greatestShare(configuration: EngineConfiguration): Share | undefined {
  const minimum = configuration.harness?.supply?.minimum?.canonical ?? 0;
  const speed = configuration.engine?.maximum_speed;
  const running = dwellShare.of(configuration).filter(({ voltage }) => voltage.canonical >= minimum);
  const atMinimum = minimum > 0 ? dwellShareAtMinimumSupply.of(configuration) : [];
  const shares = [...running, ...atMinimum].map(({ voltage, value }) => ({
    voltage: voltage.canonical,
    value,
    speed,
  }));
  return shares.sort((a, b) => b.value.canonical - a.value.canonical)[0];
}

export const dwellExceedsInterval: Check = boundCheck({
  id: 'dwell-exceeds-interval',
  severity: 'warning',
  title: 'Dwell too long for spark interval',
  page: {
    catches:
      'A dwell that, at maximum speed, takes most of the time between two sparks of the same coil, at any voltage from the minimum supply upwards. It is checked at the cells of the curve and at every voltage in the envelope. It is an error if it takes all of that time.',
    why: 'A coil that must charge again before its spark has burnt out gives a short, weak spark. A coil with less time than its dwell misfires, at the highest speed and load.',
    example:
      'ignition:\n  arrangement: distributor   # one coil fires every 5.2 ms at 5800 rpm\n  dwell: { ..., values: [9.0, 6.4, 5.0, 4.3, 3.8] }',
    remedy:
      'Shorten the dwell, fit coils that charge faster, or fit more coils: one per pair of cylinders, or one per cylinder.',
    basis:
      'Arithmetic: a coil cannot charge for longer than the time from one spark to the next. The share left for the spark to burn is common practice, no source.',
  },
  settings: {
    share: {
      kind: 'ratio',
      value: '80 %',
      meaning:
        'Largest share of the time between sparks that dwell may take, so that the spark has time to burn.',
    },
  },
  *find(subject, proof, { share }) {
    // A curve that several map sets share is reported once, at the highest of their speeds.
    const worst = new Map<unknown, Share>();
    for (const configuration of dwellsOf(subject)) {
      const most = greatestShare(configuration);
      const curve = configuration.ignition?.dwell;
      if (most && most.value.canonical > (worst.get(curve)?.value.canonical ?? share)) worst.set(curve, most);
    }
    for (const most of worst.values()) yield* longDwell(most, share);
    yield* coilBeyond(
      subject,
      proof,
      {
        value: dwellShareAtPoint,
        side: 'high',
        limitOf: () => share,
        label: 'dwell share',
        name: 'longest_dwell',
        found: ({ reached, where }) => ({
          severity: reached >= 1 ? 'error' : 'warning',
          message: `Dwell takes ${percentBeside(reached, share)} of the time between two sparks of a coil ${where}; ${dwellJudgement(reached, share)}`,
        }),
      },
      new Set(worst.keys()),
    );
  },
});

const dwellJudgement = (reached: number, share: number): string =>
  reached >= 1
    ? 'the coil never charges fully'
    : `above ${percent(share)} the spark has too little time to burn`;

function* longDwell({ value, voltage, speed }: Share, share: number): Generator<Found> {
  if (!speed) return;
  const where = `at ${formatStated(voltage, 'V')} and ${speed.node.text}`;
  yield {
    at: value.node,
    severity: value.canonical >= 1 ? 'error' : 'warning',
    message: `Dwell takes ${percentBeside(value.canonical, share)} of the time between two sparks of a coil ${where} (${value.substituted}); ${dwellJudgement(value.canonical, share)}.`,
    related: [{ at: speed.node, message: 'The maximum speed, at which sparks are closest together.' }],
    follows: placesBehind(value),
  };
}

export const coilCurrentExceedsTarget: Check = boundCheck({
  id: 'coil-current-exceeds-target',
  severity: 'warning',
  title: 'Dwell exceeds coil target current',
  page: {
    catches:
      'A cell of the dwell curve, or any other supply voltage in the envelope, at which the coil current exceeds `ignition.coil.target_current` by more than the tolerance. Beyond its ends the curve holds its edge value.',
    why: 'Beyond saturation, more current produces heat instead of spark energy. It ages the coil and the driver, and both fail when hot, in flight.',
    example:
      'ignition:\n  coil: { primary_resistance: 0.55 ohm, primary_inductance: 3.2 mH, target_current: 7.0 A }\n  dwell: { ..., values: [5.0, 3.6, 2.8, 2.2, 4.0] }   # 4.0 ms at 16 V gives 14 A',
    remedy: 'Write the dwell that brings the coil to its target current at that voltage.',
    basis:
      'The current follows from the circuit of resistance and inductance (any textbook on circuits). The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'ratio',
      value: '15 %',
      meaning: 'Overshoot that coils tolerate. Resistance and inductance are rarely known more accurately.',
    },
  },
  *find(subject, proof, { tolerance }) {
    const reported = new Set<unknown>();
    for (const configuration of dwellsOf(subject)) {
      const { ignition } = configuration;
      const target = ignition?.coil?.target_current;
      if (!target || !ignition.dwell) continue;
      const dwells = new Map(dwellForTargetCurrent.of(configuration).map(({ node, value }) => [node, value]));
      for (const { voltage, value } of coilCurrent.of(configuration)) {
        if (value.canonical <= target.canonical * (1 + tolerance)) continue;
        const dwell = dwells.get(value.node);
        reported.add(ignition.dwell);
        const number = dwell && formatNumber(toUnit(dwell.canonical, ignition.dwell.unit), 3);
        yield {
          at: value.node,
          message: `At ${formatStated(voltage.canonical, 'V')} this dwell brings the coil to ${valueText(value)}, ${difference(value.canonical, target.canonical)} above its target of ${target.node.text}.`,
          related: [{ at: target.node, message: 'The target current.' }],
          follows: placesBehind(value),
          fixes: number
            ? [
                {
                  title: `Change to ${number} ${ignition.dwell.unit}, the dwell for ${target.node.text}`,
                  safety: 'choice',
                  edits: [replace(value.node, number)],
                },
              ]
            : [],
        };
      }
    }
    const targetOf = ({ ignition }: StateConfiguration) => ignition?.coil?.target_current;
    yield* coilBeyond(
      subject,
      proof,
      {
        value: coilCurrentAtPoint,
        side: 'high',
        limitOf: (configuration) => {
          const target = targetOf(configuration);
          return target && target.canonical * (1 + tolerance);
        },
        label: 'coil current',
        name: 'highest_coil_current',
        found: ({ reached, where }, configuration) => {
          const target = targetOf(configuration)!;
          return {
            message: `The dwell brings the coil to ${formatQuantity(reached, 'A', 3)} ${where}, ${difference(reached, target.canonical)} above its target of ${target.node.text}`,
          };
        },
      },
      reported,
    );
  },
});

export const coilEnergyLow: Check = boundCheck({
  id: 'coil-energy-low',
  severity: 'warning',
  title: 'Weak spark at low supply voltage',
  page: {
    catches:
      'A coil that, after the dwell at the lowest supply voltage, stores much less than `ignition.coil.energy` or, if that is not stated, less than a spark needs. The lowest supply voltage is `harness.supply.minimum` or, without it, the first voltage of the dwell curve. Every other voltage in the envelope counts too.',
    why: 'Current rises more slowly at a low voltage. If the dwell is not longer there, the spark is weakest at a cold start and in flight with a failed generator.',
    example:
      'ignition:\n  coil: { ..., energy: 75 mJ }\n  dwell: { x: { ..., breakpoints: [8, 14] }, values: [1.6, 1.6] }   # 34 mJ at 10.5 V',
    remedy: 'Lengthen the dwell at low voltages as far as the time between sparks allows.',
    basis:
      'E = L · I² / 2 (any textbook on circuits). The share and the minimum are common practice, no source.',
  },
  settings: {
    share: {
      kind: 'ratio',
      value: '70 %',
      meaning: 'Smallest share of its stated energy that a coil should store at the lowest supply voltage.',
    },
    minimum: {
      kind: 'energy',
      value: '30 mJ',
      meaning: 'Minimum stored energy for a coil without a stated energy.',
    },
  },
  *find(subject, proof, { share, minimum }) {
    const reported = new Set<unknown>();
    for (const configuration of dwellsOf(subject)) {
      const stated = configuration.ignition?.coil?.energy;
      const least = stated ? stated.canonical * share : minimum;
      for (const { voltage, value } of coilEnergyAtMinimumSupply.of(configuration)) {
        if (value.canonical >= least) continue;
        reported.add(configuration.ignition?.dwell);
        const judgement = energyJudgement(value.canonical, stated, share, minimum);
        yield {
          at: value.node,
          message: `At ${formatStated(voltage.canonical, 'V')} the coil stores only ${valueText(value)}, ${judgement}.`,
          related: stated ? [{ at: stated.node, message: 'The stated energy of the coil.' }] : [],
          follows: placesBehind(value),
        };
      }
    }
    yield* coilBeyond(
      subject,
      proof,
      {
        value: coilEnergyAtPoint,
        side: 'low',
        limitOf: ({ ignition }) => {
          const stated = ignition?.coil?.energy;
          return stated ? stated.canonical * share : minimum;
        },
        label: 'coil energy',
        name: 'weakest_spark',
        found: ({ reached, where }, { ignition }) => ({
          message: `The coil stores only ${formatQuantity(reached, 'mJ', 3)} ${where}, ${energyJudgement(reached, ignition?.coil?.energy, share, minimum)}`,
        }),
      },
      reported,
    );
  },
});

const energyJudgement = (
  energy: number,
  stated: QuantityValue | undefined,
  share: number,
  minimum: number,
): string =>
  stated
    ? `${percentBeside(energy / stated.canonical, share)} of its stated ${stated.node.text}; it should store at least ${percent(share)}`
    : `below the ${formatStated(minimum, 'mJ')} that a reliable spark needs`;

export const dwellWithCapacitive: Check = engineCheck({
  id: 'dwell-with-capacitive',
  severity: 'warning',
  title: 'Dwell on a capacitive ignition',
  page: {
    catches: 'A dwell curve together with `system: capacitive`.',
    why: 'A capacitive system takes its energy from charge coils or a converter and has no dwell. The curve has no effect, but a reader would think that it does.',
    example: 'ignition:\n  system: capacitive\n  dwell: { ... }',
    remedy: 'Remove the curve, or write `system: inductive` if that is what is fitted.',
    basis: 'The meaning of the keys.',
  },
  *find({ file, installation }) {
    for (const { configuration } of differingIn(installation.engines, 'ignition'))
      yield* unusedDwell(file, configuration);
  },
});

function* unusedDwell(file: SourceFile, { ignition }: EngineConfiguration): Generator<Found> {
  if (ignition?.system?.text !== 'capacitive' || !ignition.dwell) return;
  const holder = nodesOf(ignition).find((mapping) => mapping.get('dwell') === ignition.dwell!.node);
  const entry = holder?.entry('dwell');
  const isHere = entry?.key.chunk.file === file.path;
  yield {
    at: ignition.dwell.node,
    message: 'A capacitive ignition has no dwell, so this curve is not used.',
    related: [{ at: ignition.system.node, message: 'The ignition system.' }],
    fixes:
      holder && entry && isHere
        ? [{ title: 'Remove the dwell curve', safety: 'choice', edits: removeEntry(file, holder, entry) }]
        : [],
  };
}
