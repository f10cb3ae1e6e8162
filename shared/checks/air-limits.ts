import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { absoluteAtSeaLevel, highestBoostTarget } from '../derived/boost-target.ts';
import { valueText } from '../derived/value.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { replace } from '../source/edit.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { formatQuantity, percent, percentBeside } from './words.ts';

/** A manifold pressure sensor and the ends of its scaling, absolute. */
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

/** The cut as absolute pressure, which is how it is compared with targets and sensors. */
const absoluteCut = (cut: QuantityValue): number => absoluteAtSeaLevel(cut.quantity);

/** The cut in the next full kPa that keeps the margin, where the sensors reach so far. */
function raisedCut(cut: QuantityValue, least: number, reaches: readonly Reach[], margin: number): Fix[] {
  const raised = Math.ceil(least / 1000 - 1e-9) * 1000;
  if (cut.quantity.reference !== 'absolute' || reaches.some(({ high }) => raised > high)) return [];
  const text = formatQuantity(raised, 'kPa abs');
  return [
    {
      title: `Cut at ${text}, ${percent(margin)} over the highest target`,
      safety: 'choice',
      edits: [replace(cut.node, text)],
    },
  ];
}

export const overboostMargin: Check = engineCheck({
  id: 'overboost-margin',
  severity: 'warning',
  title: 'Overboost cut without room',
  page: {
    catches:
      'An `overboost_cut` closer to the highest boost target than the margin; an error where it is not above that target, or where the manifold pressure sensor cannot read it.',
    why: 'A wastegate overshoots by a few per cent. A cut that stands too close takes the power away on take-off, from an engine that is well; a cut that the sensor cannot read never comes.',
    example: 'boost:\n  target: { ... }   # up to 150 kPa abs\n  overboost_cut: 152 kPa abs',
    remedy:
      'Place the cut at least the margin above the highest target of every map set and inside the sensor’s range.',
    basis: 'Common practice, no source; that a cut must be measured is the meaning of the key.',
  },
  settings: {
    margin: {
      kind: 'ratio',
      value: '5 %',
      meaning: 'Room for the overshoot of the wastegate, over the target.',
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
      const room = pressure / target.canonical - 1;
      const judgement = room > 0 ? `only ${percentBeside(room, margin, 2)} above` : 'not above';
      yield {
        at: cut.node,
        severity: room > 0 ? 'warning' : 'error',
        message: `The cut at ${cut.node.text} is ${judgement} the highest target, ${valueText(target)} ${target.note}; ${percent(margin)} is usual.`,
        related: [{ at: target.node, message: 'The highest target.' }],
        fixes: raisedCut(cut, least, reaches, margin),
      };
    }
    for (const { scaling, low, high } of reaches) {
      if (pressure > low && pressure <= high) continue;
      yield {
        at: cut.node,
        severity: 'error',
        message: `The sensor reads ${formatQuantity(low, 'kPa abs')} to ${formatQuantity(high, 'kPa abs')}: a cut at ${cut.node.text} never ${pressure > low ? 'comes' : 'ends'}.`,
        related: [{ at: scaling.node, message: 'The scaling of the sensor.' }],
      };
    }
  },
});

export const sensorRangeBelowCut: Check = engineCheck({
  id: 'sensor-range-below-cut',
  severity: 'error',
  title: 'Manifold pressure sensor ends below the cut',
  page: {
    catches: 'A manifold pressure sensor whose scaling ends below `boost.overboost_cut`.',
    why: 'The sensor reads its end value while the pressure rises on. The cut never comes, and the fuel is metered for less air than there is.',
    example:
      'boost: { overboost_cut: 175 kPa abs, ... }\nsensors:\n  manifold_pressure: { ..., scaling: { 0.5 V: 10 kPa abs, 4.5 V: 110 kPa abs } }   # an aspirated engine’s sensor',
    remedy: 'Fit a sensor that reaches above the cut, or state the scaling of the one that is fitted.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration } }) {
    const cut = configuration.boost?.overboost_cut;
    if (!cut) return;
    for (const { scaling, high } of manifoldPressureReach(configuration)) {
      if (high >= absoluteCut(cut)) continue;
      yield {
        at: scaling.node,
        message: `The sensor reads up to ${formatQuantity(high, 'kPa abs')}; the overboost cut stands at ${cut.node.text}.`,
        related: [{ at: cut.node, message: 'The cut.' }],
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
      'A wastegate servo whose closed position reads higher than its open one; an error where both read the same.',
    why: 'Closing the wastegate makes boost. With the two positions swapped the controller answers too much boost by making more.',
    example: 'boost:\n  servo: { closed_position: 92 %, open_position: 8 % }',
    remedy:
      'Swap the two, or, where the linkage really turns that way, accept the finding with that as the reason after watching it move.',
    basis: 'Common practice, no source: position is counted as opening.',
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
        ? `The wastegate reads ${closed.node.text} both closed and open: the servo has no travel.`
        : `The wastegate reads ${closed.node.text} closed and ${open.node.text} open: opening it counts down.`,
      related: [{ at: open.node, message: 'The open position.' }],
      fixes:
        same || !isHere
          ? []
          : [
              {
                title: `Swap them: closed ${open.node.text}, open ${closed.node.text}`,
                safety: 'choice',
                edits: [replace(closed.node, open.node.text), replace(open.node, closed.node.text)],
              },
            ],
    };
  },
});
