import { differingIn, type Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { placeOfOperand } from '../derived/value.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { alsoInRow, badRows, worstOf } from './bad-cells.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { lambdaOutsidePlausible } from './curves-cells.ts';
import { cellPlace } from './tables.ts';
import { passes } from './threshold.ts';
import { thresholdsOf } from './thresholds.ts';
import { MIXTURE_CHECK, type MixtureLimit, mixtureCurves, usualMixture } from './usual-mixture.ts';
import { formatNumber, formatQuantity, numberBeside, percent } from './words.ts';

export const leanAtHighLoad: Check = engineCheck({
  id: MIXTURE_CHECK,
  severity: 'warning',
  title: 'Lean mixture at high load',
  onStandby: true,
  page: {
    catches:
      'Cells of the target lambda map, the `lambda` of an operating point or a cylinder trim that make the mixture leaner than usual for the manifold pressure, near ambient pressure and above. There is one finding per row of the map, at its leanest cell. A curve that the file states is itself reported where the leanest usual mixture is not leaner than the richest.',
    why: 'At high load the fuel beyond the stoichiometric ratio cools the charge, the valves and the turbine and suppresses knock. The denser the charge, the more of it is needed. A lean cell there can melt pistons.',
    example:
      'fuel:\n  target_lambda:\n    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 100, 180] }\n    values: [[1.0, 1.0], [0.95, 0.92], [0.84, 0.95]]',
    remedy:
      'Make the cell richer, or replace the curve with one for which there is evidence, and give that as the reason.',
    basis:
      'Common practice, no source. Checks of points, trims, loops and failed sensors use the same curves.',
  },
  settings: {
    trim: {
      kind: 'ratio',
      value: '3 %',
      meaning:
        'How far beyond the curve a cylinder trim may go, because trims even out what differs between cylinders.',
    },
  },
  curves: mixtureCurves,
  *find(subject, { trim }): Generator<Found> {
    yield* curvesThatCross(subject);
    yield* beyondUsual(subject, { ...LEANER, limit: usualMixture(subject).leanest, trim });
  },
});

export const richMixture: Check = engineCheck({
  id: 'rich-mixture',
  severity: 'warning',
  title: 'Mixture richer than usual',
  onStandby: true,
  page: {
    catches:
      'Cells of the target lambda map, the `lambda` of an operating point or a cylinder trim that make the mixture richer than usual for the manifold pressure. There is one finding per row of the map, at its richest cell. Mixtures on which no engine runs have a finding of their own.',
    why: 'Fuel that the air cannot burn washes the oil off the cylinder walls, fouls the plugs and costs power. At part load nothing needs to be cooled with it, so the usual cause is a typing error, or a table from another engine.',
    example:
      'fuel:\n  target_lambda:\n    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 100, 180] }\n    values: [[0.66, 1.0], [0.95, 0.92], [0.84, 0.82]]',
    remedy:
      'Make the cell leaner, or replace the curve `richest` of `lean-at-high-load` with one for which there is evidence, and give that as the reason.',
    basis: 'Common practice, no source. Checks of loops and failed sensors use the same curve.',
  },
  settings: {
    trim: {
      kind: 'ratio',
      value: '3 %',
      meaning:
        'How far beyond the curve a cylinder trim may go, because trims even out what differs between cylinders.',
    },
  },
  *find(subject, { trim }): Generator<Found> {
    const runs = thresholdsOf(lambdaOutsidePlausible, subject).richest!;
    const counts = (lambda: number) => lambda >= runs;
    yield* beyondUsual(subject, { ...RICHER, counts, limit: usualMixture(subject).richest, trim });
  },
});

/** The curves of an engine where the leanest usual mixture is not leaner than the richest, so that none is left between. */
function* curvesThatCross(subject: EngineSubject): Generator<Found> {
  const { leanest, richest } = usualMixture(subject);
  const stated = leanest.node ?? richest.node;
  const crossing = [...leanest.breakpoints, ...richest.breakpoints].find(
    (pressure) => !passes(leanest.at(pressure), richest.at(pressure)),
  );
  if (crossing === undefined || !stated) return;
  const [lean, rich] = [leanest.at(crossing), richest.at(crossing)].map((one) => formatNumber(one, 3));
  yield {
    at: stated,
    message: `At ${formatQuantity(crossing, 'kPa abs')} the curve \`leanest\` is ${lean}, not above ${rich} of the curve \`richest\`, so that every mixture there is beyond one of them.`,
    related: leanest.node && richest.node ? [{ at: richest.node, message: 'The other curve.' }] : [],
  };
}

/** One side of the usual mixture. */
interface MixtureSide {
  readonly word: 'leaner' | 'richer';
  /** 1 if a higher lambda is further beyond the limit, or -1. */
  readonly sign: 1 | -1;
  /** Whether a lambda is judged; without it, all are. */
  counts?(lambda: number): boolean;
  readonly limit: MixtureLimit;
  /** How far beyond the limit a trim may go, as a share of lambda. */
  readonly trim: number;
}

const LEANER = { word: 'leaner', sign: 1 } as const;
const RICHER = { word: 'richer', sign: -1 } as const;

/** Cells of the map, trims and stated mixtures beyond one side of the usual mixture. */
function* beyondUsual(subject: EngineSubject, side: MixtureSide): Generator<Found> {
  for (const engine of differingIn(subject.installation.engines, 'fuel')) {
    yield* rowsBeyond(engine, side);
    yield* trimBeyond(engine, side);
  }
  yield* subject.derivation.points.flatMap((point) => statedBeyond(point, side));
}

const isBeyond = ({ sign, counts }: MixtureSide, lambda: number, limit: number): boolean =>
  passes(sign * lambda, sign * limit) && (counts?.(lambda) ?? true);

function* rowsBeyond({ configuration }: Engine, side: MixtureSide): Generator<Found> {
  const map = configuration.fuel?.target_lambda;
  const limits = absoluteBreakpoints(map?.y).map(side.limit.at);
  for (const bad of badRows(map, (canonical, row) => isBeyond(side, canonical, limits[row]!))) {
    const { node, row, column, canonical } = worstOf(bad, (lambda) => side.sign * lambda);
    yield {
      at: node,
      message: `Target lambda at ${cellPlace(map!, row, column)} is ${node.text}, ${side.word} than the usual limit of ${numberBeside(limits[row]!, canonical)} at that pressure.${alsoInRow(bad)}`,
    };
  }
}

/**
 * The trim that goes furthest towards one side, if it brings even the cell of a row on the other side beyond the limit for
 * its cylinder.
 */
function* trimBeyond(
  { configuration }: Engine,
  { word, sign, limit, trim: allowance }: MixtureSide,
): Generator<Found> {
  const { target_lambda: map, cylinder_trim: trims = {} } = configuration.fuel ?? {};
  let most: readonly [cylinder: string, trim: QuantityValue] | undefined;
  for (const [name, one] of Object.entries(trims))
    if (one && sign * one.canonical < sign * (most?.[1].canonical ?? 0)) most = [name, one];
  if (!map?.cells || !most) return;
  const [cylinder, { canonical, node }] = most;
  if (canonical <= -1) return;
  const width = map.x?.breakpoints.length ?? 0;
  for (const [row, pressure] of absoluteBreakpoints(map.y).entries()) {
    const cells = map.cells.subarray(row * width, (row + 1) * width);
    const lambda = sign > 0 ? minimumOf(cells) : maximumOf(cells);
    const [trimmed, usual] = [lambda / (1 + canonical), limit.at(pressure)];
    const isCause = !passes(sign * lambda, sign * usual);
    if (!isCause || !passes(sign * trimmed, sign * usual * (1 + sign * allowance))) continue;
    yield {
      at: node,
      message: `With ${percent(Math.abs(canonical))} ${sign > 0 ? 'less' : 'more'} fuel, lambda in cylinder ${cylinder} is ${numberBeside(trimmed, usual)} at ${formatQuantity(pressure, 'kPa abs')}, ${word} than the usual limit of ${formatNumber(usual, 3)} there.`,
      cause: node,
    };
    return;
  }
}

function statedBeyond(point: OperatingPoint, side: MixtureSide): Found[] {
  const stated = point.conditions.lambda;
  const pressure = stated && point.number(manifoldPressure);
  const limit = pressure !== undefined ? side.limit.at(pressure) : undefined;
  if (!stated || limit === undefined || !isBeyond(side, stated.canonical, limit)) return [];
  return [
    {
      at: placeOfOperand(stated) ?? point.node,
      message: `\`${point.name}\` states lambda ${numberBeside(stated.canonical, limit)} at ${formatQuantity(pressure!, 'kPa abs', 3)}, ${side.word} than the usual limit of ${formatNumber(limit, 3)} there.`,
    },
  ];
}
