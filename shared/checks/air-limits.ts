import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { absoluteAtSeaLevel, highestBoostTarget } from '../derived/boost-target.ts';
import { valueText } from '../derived/value.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { replace } from '../source/edit.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { formatStated, percent, percentBeside } from './words.ts';

/** The scaling of a manifold pressure sensor and its ends, as absolute pressure. */
interface Reach {
  readonly scaling: NonNullable<Sensor['scaling']>;
  readonly low: number;
  readonly high: number;
}

function manifoldPressureReach({ sensors }: EngineConfiguration): Reach[] {
  return Object.values(sensors ?? {}).flatMap(({ measures, scaling }) => {
    if (measures?.text !== 'manifold_pressure' || !scaling || scaling.points.length < 2) return [];
    const ends = scaling.points.map(({ to }) => absoluteAtSeaLevel(to));
    return [{ scaling, low: minimumOf(ends), high: maximumOf(ends) }];
  });
}

/** The cut as absolute pressure, for comparison with targets and sensors. */
const absoluteCut = (cut: QuantityValue): number => absoluteAtSeaLevel(cut.quantity);

/** Raises the cut to the next full kPa that keeps the margin, if all sensors can read it. */
function raisedCut(cut: QuantityValue, least: number, reaches: readonly Reach[], margin: number): Fix[] {
  const raised = Math.ceil(least / 1000 - 1e-9) * 1000;
  if (cut.quantity.reference !== 'absolute' || reaches.some(({ high }) => raised > high)) return [];
  const text = formatStated(raised, 'kPa abs');
  return [
    {
      title: `Change to ${text}, ${percent(margin)} above the highest target`,
      safety: 'choice',
      edits: [replace(cut.node, text)],
    },
  ];
}

export const overboostMargin: Check = engineCheck({
  id: 'overboost-margin',
  severity: 'warning',
  title: 'Overboost cut margin too low',
  page: {
    catches:
      'An `overboost_cut` that exceeds the highest boost target by less than the margin. It is an error if the cut is not above that target, or if the manifold pressure sensor cannot read it.',
    why: 'A wastegate overshoots by a few per cent. A cut too close to the target cuts the power of a healthy engine during take-off. A cut that the sensor cannot read never takes effect.',
    example: 'boost:\n  target: { ... }   # up to 150 kPa abs\n  overboost_cut: 152 kPa abs',
    remedy:
      'Set the cut above the highest target of every map set by at least the margin, and inside the range of the sensor.',
    basis: 'The margin is common practice, no source. By the meaning of the key, a cut must be measurable.',
  },
  settings: {
    margin: {
      kind: 'ratio',
      value: '5 %',
      meaning: 'Usual margin over the target, to allow for wastegate overshoot.',
    },
  },
  *find({ installation: { configuration }, derivation }, { margin }): Generator<Found> {
    const cut = configuration.boost?.overboost_cut;
    if (!cut) return;
    const pressure = absoluteCut(cut);
    const reaches = manifoldPressureReach(configuration);
    const target = derivation.one(highestBoostTarget);
    const least = target && target.canonical * (1 + margin);
    // A pascal is rounding.
    if (target && least && pressure < least - 1) {
      const excess = pressure / target.canonical - 1;
      const judgement = excess > 0 ? `only ${percentBeside(excess, margin, 2)} above` : 'not above';
      yield {
        at: cut.node,
        severity: excess > 0 ? 'warning' : 'error',
        message: `The overboost cut of ${cut.node.text} is ${judgement} the highest boost target, ${valueText(target)} ${target.note}; a margin of ${percent(margin)} is usual.`,
        related: [{ at: target.node, message: 'The highest boost target.' }],
        fixes: raisedCut(cut, least, reaches, margin),
      };
    }
    for (const { scaling, low, high } of reaches) {
      if (pressure > low && pressure <= high) continue;
      yield {
        at: cut.node,
        severity: 'error',
        message: `The overboost cut of ${cut.node.text} is outside the range of the sensor, ${formatStated(low, 'kPa abs')} to ${formatStated(high, 'kPa abs')}, so it never ${pressure > low ? 'begins' : 'ends'}.`,
        related: [{ at: scaling.node, message: 'The scaling of the sensor.' }],
      };
    }
  },
});

export const sensorRangeBelowCut: Check = engineCheck({
  id: 'sensor-range-below-cut',
  severity: 'error',
  title: 'Sensor range ends below overboost cut',
  page: {
    catches: 'A manifold pressure sensor whose scaling ends below `boost.overboost_cut`.',
    why: 'The sensor stays at its end value while the pressure keeps rising. The cut never takes effect, and the fuel is metered for less air than the engine gets.',
    example:
      'boost: { overboost_cut: 175 kPa abs, ... }\nsensors:\n  manifold_pressure: { ..., scaling: { 0.5 V: 10 kPa abs, 4.5 V: 110 kPa abs } }   # sensor of an engine without boost',
    remedy: 'Fit a sensor that reads above the cut, or correct the scaling if another sensor is fitted.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration } }) {
    const cut = configuration.boost?.overboost_cut;
    if (!cut) return;
    for (const { scaling, high } of manifoldPressureReach(configuration)) {
      if (high >= absoluteCut(cut)) continue;
      yield {
        at: scaling.node,
        message: `The sensor reads up to ${formatStated(high, 'kPa abs')}, below the overboost cut of ${cut.node.text}.`,
        related: [{ at: cut.node, message: 'The overboost cut.' }],
      };
    }
  },
});

export const servoRangeOrder: Check = engineCheck({
  id: 'servo-range-order',
  severity: 'warning',
  title: 'Wastegate servo runs backwards',
  page: {
    catches:
      'A wastegate servo whose closed position reads higher than its open position. It is an error if both read the same.',
    why: 'Closing the wastegate raises the boost. If the two positions are swapped, the controller responds to excessive boost by raising it further.',
    example: 'boost:\n  servo: { closed_position: 92 %, open_position: 8 % }',
    remedy:
      'Swap the two. If the linkage really works that way round, confirm it on the engine, then accept the finding with that reason.',
    basis: 'Common practice, no source: a higher position means a wider opening.',
  },
  *find({ installation: { configuration } }) {
    const { closed_position: closed, open_position: open } = configuration.boost?.servo ?? {};
    if (!closed || !open || closed.canonical < open.canonical) return;
    const same = closed.canonical === open.canonical;
    const isHere = closed.node.chunk.file === open.node.chunk.file;
    yield {
      at: closed.node,
      severity: same ? 'error' : 'warning',
      message: same
        ? `The wastegate position reads ${closed.node.text} both when closed and when open, so the servo has no travel.`
        : `The wastegate position reads ${closed.node.text} when closed and ${open.node.text} when open, so it falls as the wastegate opens.`,
      related: [{ at: open.node, message: 'The open position.' }],
      fixes:
        same || !isHere
          ? []
          : [
              {
                title: `Swap the positions: closed ${open.node.text}, open ${closed.node.text}`,
                safety: 'choice',
                edits: [replace(closed.node, open.node.text), replace(open.node, closed.node.text)],
              },
            ],
    };
  },
});
