import type { EngineConfiguration } from '../../generated/configuration.ts';
import { differingIn, type Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { absoluteCut, highestOfEngine, type TargetCell, targetCellText } from '../derived/boost-target.ts';
import { boostPressure, manifoldPressure } from '../derived/charge-air.ts';
import type { PointValue } from '../derived/operating-point.ts';
import { valueText } from '../derived/value.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { witnessWords } from '../proof/witness.ts';
import { replace } from '../source/edit.ts';
import { type Excess, excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { closeAtAltitude } from './overboost-altitude.ts';
import { loweredTarget, manifoldPressureReach } from './overboost-cut.ts';
import { formatQuantity, formatStated, percent, percentBeside, statedBeside } from './words.ts';

/** A cut that leaves too little margin over a target. */
interface CloseCut {
  readonly engine: Engine;
  readonly cut: QuantityValue;
  readonly highest: TargetCell;
}

/** The cuts that are less than the margin above the highest target of a map set, each with the highest such target. */
function closeCuts(engines: readonly Engine[], margin: number): CloseCut[] {
  const found = new Map<QuantityValue, CloseCut>();
  for (const engine of engines) {
    const cut = engine.configuration.boost?.overboost_cut;
    const highest = highestOfEngine(engine);
    // A difference of one pascal is rounding.
    if (!cut || !highest || absoluteCut(cut) >= highest.target.canonical * (1 + margin) - 1) continue;
    const before = found.get(cut);
    if (!before || highest.target.canonical > before.highest.target.canonical)
      found.set(cut, { engine, cut, highest });
  }
  return [...found.values()];
}

function closeCutFinding(close: CloseCut, margin: number): Found {
  const { cut, highest } = close;
  const { target, cell } = highest;
  const excess = absoluteCut(cut) / target.canonical - 1;
  const judgement = excess > 0 ? `only ${percentBeside(excess, margin, 2)} above` : 'not above';
  return {
    at: cut.node,
    severity: excess > 0 ? 'warning' : 'error',
    message: `The overboost cut of ${statedBeside(cut, target.show, absoluteCut(cut))} is ${judgement} the highest boost target, ${valueText(target)} ${targetCellText(highest)}; a margin of ${percent(margin)} is usual.`,
    related: [{ at: cell, message: 'The highest boost target.' }],
    fixes: loweredTarget(close.engine, cut, margin),
  };
}

/**
 * A state in which the pressure exceeds the cut: with overshoot, or at some altitudes if only one of target and cut is
 * a gauge pressure.
 */
function* pressureBeyondCut(subject: EngineSubject, proof: Proof): Generator<Pause, Found[]> {
  const found: (Excess & { readonly value: PointValue })[] = [];
  for (const [value, reference] of [
    [manifoldPressure, 'absolute'],
    [boostPressure, 'gauge'],
  ] as const) {
    const excess = yield* excessOf(subject, proof, {
      ...{ value, side: 'high' },
      limitOf: ({ boost }) => {
        const cut = boost?.overboost_cut;
        return cut?.quantity.reference === reference ? cut.canonical : undefined;
      },
    });
    if (excess) found.push({ ...excess, value });
  }
  // Map sets may state their cuts in both; one that is exceeded counts before an undecided one.
  const shown = found.find(({ verdict }) => verdict === 'broken') ?? found[0];
  if (!shown) return [];
  const { value, named, bound } = shown;
  const where = named || !bound ? shown.where : `at ${witnessWords(bound, COMMANDING)}`;
  const show = named?.value.show ?? bound?.show ?? 'kPa abs';
  const texts = excessFinding(subject, { ...shown, where }, ({ boost }) => {
    const cut = boost?.overboost_cut;
    return (
      cut && {
        ...{ at: cut.node, label: value.label.toLowerCase(), name: 'highest_pressure', verb: 'gives' },
        severity: 'error',
        message: `${value.label} reaches ${formatQuantity(shown.reached, show)} ${where}, above the overboost cut of ${statedBeside(cut, show)}`,
      }
    );
  });
  return [...texts];
}

/** The variables that decide which pressure is commanded and supplied. */
const COMMANDING = ['speed', 'throttle', 'pressure_altitude'] as const;

export const overboostMargin: Check = boundCheck({
  id: 'overboost-margin',
  severity: 'warning',
  title: 'Overboost cut margin too low',
  page: {
    catches:
      'An `overboost_cut` that exceeds the highest boost target of its map set by less than the margin, at sea level or, if one of them is gauge pressure, at any altitude of the envelope. It is an error if the cut is not above that target, if the manifold pressure exceeds the cut in any state of the envelope, or if the manifold pressure sensor cannot read the cut.',
    why: 'A wastegate overshoots by a few per cent. A cut too close to the target cuts the power of a healthy engine during take-off. A cut that the sensor cannot read never takes effect. A cut in gauge pressure is a lower absolute pressure at altitude, where an absolute target does not fall.',
    example: 'boost:\n  target: { ... }   # up to 150 kPa abs\n  overboost_cut: 152 kPa abs',
    remedy:
      'Set the cut above the highest target of every map set by at least the margin, and inside the range of the sensor. If the target is wrong, lower it: a fix does that. Raise the cut only if the engine withstands it.',
    basis: 'The margin is common practice, no source. By definition, a cut must be measurable.',
  },
  settings: {
    margin: {
      kind: 'ratio',
      value: '5 %',
      meaning: 'Usual margin over the target, to allow for wastegate overshoot.',
    },
  },
  *find(subject, proof, { margin }) {
    const { engines, selectable } = subject.installation;
    const tooClose = closeCuts(selectable, margin);
    yield* tooClose.map((one) => closeCutFinding(one, margin));
    if (tooClose.length === 0) {
      const beyond = yield* pressureBeyondCut(subject, proof);
      yield* beyond.length > 0 ? beyond : closeAtAltitude(selectable, proof, margin);
    }
    for (const { configuration } of differingIn(engines, 'boost')) yield* unreadableCut(configuration);
  },
});

/** A cut that a manifold pressure sensor cannot read. */
function* unreadableCut(configuration: EngineConfiguration): Generator<Found> {
  const cut = configuration.boost?.overboost_cut;
  if (!cut) return;
  const pressure = absoluteCut(cut);
  for (const { scaling, low, high } of manifoldPressureReach(configuration)) {
    if (pressure > low && pressure <= high) continue;
    yield {
      at: cut.node,
      severity: 'error',
      message: `The overboost cut of ${statedBeside(cut, 'kPa abs', pressure)} is outside the range of the sensor, ${formatStated(low, 'kPa abs')} to ${formatStated(high, 'kPa abs')}, so the cut ${pressure > low ? 'never takes effect' : 'is always in effect'}.`,
      related: [{ at: scaling.node, message: 'The scaling of the sensor.' }],
    };
  }
}

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
  *find({ installation: { engines } }): Generator<Found> {
    for (const { configuration } of differingIn(engines, 'boost')) {
      const cut = configuration.boost?.overboost_cut;
      if (!cut) continue;
      for (const { scaling, high } of manifoldPressureReach(configuration)) {
        if (high >= absoluteCut(cut)) continue;
        yield {
          at: scaling.node,
          message: `The sensor reads up to ${formatStated(high, 'kPa abs')}, below the overboost cut of ${statedBeside(cut, 'kPa abs', absoluteCut(cut))}.`,
          related: [{ at: cut.node, message: 'The overboost cut.' }],
        };
      }
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
  *find({ installation: { engines } }) {
    for (const { configuration } of differingIn(engines, 'boost')) yield* backwards(configuration);
  },
});

function* backwards({ boost }: EngineConfiguration): Generator<Found> {
  const { closed_position: closed, open_position: open } = boost?.servo ?? {};
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
}
