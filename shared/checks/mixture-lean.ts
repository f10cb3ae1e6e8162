import type { Engine } from '../configuration/installation.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { placeOfOperand } from '../derived/value.ts';
import { minimumOf } from '../extremes.ts';
import { alsoInRow, badRows, worstOf } from './bad-cells.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { cellPlace } from './tables.ts';
import { passes } from './threshold.ts';
import { MIXTURE_CHECK, type MixtureLimit, mixtureCurves, usualMixture } from './usual-mixture.ts';
import { formatNumber, formatQuantity, numberBeside } from './words.ts';

export const leanAtHighLoad: Check = engineCheck({
  id: MIXTURE_CHECK,
  severity: 'warning',
  title: 'Lean mixture at high load',
  onStandby: true,
  page: {
    catches:
      'Cells of the target lambda map, the `lambda` of an operating point or a cylinder trim that make the mixture leaner than usual for the manifold pressure, near ambient pressure and above. There is one finding per row of the map, at its leanest cell.',
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
    const { leanest } = usualMixture(subject);
    for (const engine of subject.installation.engines) {
      yield* leanRows(engine, leanest);
      yield* leanTrim(engine, leanest, trim);
    }
    yield* leanPoints(subject.derivation.points, leanest);
  },
});

function* leanRows({ configuration }: Engine, { at }: MixtureLimit): Generator<Found> {
  const map = configuration.fuel?.target_lambda;
  const limits = absoluteBreakpoints(map?.y).map(at);
  for (const bad of badRows(map, (canonical, row) => passes(canonical, limits[row]!))) {
    const { node, row, column, canonical } = worstOf(bad, (lambda) => lambda);
    yield {
      at: node,
      message: `Target lambda at ${cellPlace(map!, row, column)} is ${node.text}, leaner than the usual limit of ${numberBeside(limits[row]!, canonical)} at that pressure.${alsoInRow(bad)}`,
    };
  }
}

/** The trim that takes most fuel away, if it makes even the richest cell of a row too lean for its cylinder. */
function* leanTrim({ configuration }: Engine, { at }: MixtureLimit, allowance: number): Generator<Found> {
  const { target_lambda: map, cylinder_trim: trims = {} } = configuration.fuel ?? {};
  const [cylinder, trim] =
    Object.entries(trims).reduce<readonly [string, { canonical: number }] | undefined>(
      (least, [name, one]) => (one && one.canonical < (least?.[1].canonical ?? 0) ? [name, one] : least),
      undefined,
    ) ?? [];
  const written = cylinder === undefined ? undefined : trims[cylinder];
  if (!map?.cells || !trim || !written || trim.canonical <= -1) return;
  const width = map.x?.breakpoints.length ?? 0;
  for (const [row, limit] of absoluteBreakpoints(map.y).map(at).entries()) {
    const lambda = minimumOf(map.cells.subarray(row * width, (row + 1) * width));
    const trimmed = lambda / (1 + trim.canonical);
    if (passes(lambda, limit) || !passes(trimmed, limit * (1 + allowance))) continue;
    yield {
      at: written.node,
      message: `With ${written.node.text} of fuel, lambda of cylinder ${cylinder} is ${numberBeside(trimmed, limit)} at ${formatQuantity(absoluteBreakpoints(map.y)[row]!, 'kPa abs')}, leaner than the usual limit of ${formatNumber(limit, 3)} there.`,
      cause: written.node,
    };
    return;
  }
}

const leanPoints = checkEach(function* (point: OperatingPoint, { at }: MixtureLimit): Iterable<Found> {
  const stated = point.conditions.lambda;
  const pressure = point.get(manifoldPressure);
  const limit = pressure && at(pressure.canonical);
  if (!stated || limit === undefined || !passes(stated.canonical, limit)) return;
  yield {
    at: placeOfOperand(stated) ?? point.node,
    message: `\`${point.name}\` states lambda ${numberBeside(stated.canonical, limit)} at ${formatQuantity(pressure!.canonical, 'kPa abs', 3)}, leaner than the usual limit of ${formatNumber(limit, 3)} there.`,
  };
});
