import { splitUnit } from '../../shared/quantity/index.ts';
import type { MeasuredCell } from '../../shared/runs/filling.ts';
import type { FillingSum } from '../../shared/runs/filling-sum.ts';
import type { LimitSum } from '../../shared/runs/limit-watch.ts';
import type { Estimate } from '../../shared/runs/moments.ts';
import type { Outside } from '../../shared/runs/outside.ts';
import type { BinDifference } from '../../shared/runs/power.ts';
import type { AgreementResult, PowerResult } from '../../shared/runs/result.ts';
import type { RunSums } from '../../shared/runs/sums.ts';
import type { Format } from './format.ts';
import type { NamedRun, RunsReport } from './runs-report.ts';

/** For programs. Values and units as in the JSON of `derive`; keys may be added, but none removed. */
export const runsJson: Format<RunsReport> = {
  write: ({ runs, against, change }) => {
    const document = {
      runs: runs.map(runOf),
      ...(against.length > 0 && { against: against.map(runOf) }),
      difference: change ? change.bins.map(differenceOf) : null,
      ...(change && { verdict: change.sentence }),
    };
    return `${JSON.stringify(document, null, 2)}\n`;
  },
};

function runOf({ name, result: { sums, agreement, maps, power } }: NamedRun) {
  return {
    path: name,
    ...(sums.files.length > 1 && { files: sums.files }),
    rows: sums.rows,
    refused: sums.refused.map(({ line, reason, file }) => ({ line, reason, ...fileOf(sums, file) })),
    refused_count: sums.refusedCount,
    gaps: sums.gaps.map(({ from, to, file }) => ({ from, to, ...fileOf(sums, file) })),
    columns: sums.columns.map((column) => ({
      name: column.name,
      quantity: column.quantity ?? null,
      unit: column.unit,
    })),
    steady: sums.steady.map(({ from, to, rows, file }) => ({ from, to, rows, ...fileOf(sums, file) })),
    steady_rows: sums.steadyRows,
    agreement: agreement.map(agreementOf),
    limits: sums.limits.map((limit) => limitOf(limit, sums)),
    lights: sums.lights.map(({ light, logged, from, to, file }) => ({
      light,
      logged,
      from,
      to,
      ...fileOf(sums, file),
    })),
    outside_envelope: sums.outside.map((outside) => outsideOf(outside, sums)),
    filling: maps.flatMap(({ sum, cells }) => cells.map((cell) => cellOf(cell, sum))),
    power: power.map((bin) => powerOf(bin, sums)),
    notes: sums.notes,
  };
}

/** Of several files, the one that an entry is about. */
const fileOf = ({ files }: RunSums, file: number) => (files.length > 1 ? { path: files[file] } : {});

const ends = (estimate: Estimate | undefined): [number, number] | null =>
  estimate && Number.isFinite(estimate.half)
    ? [estimate.mean - estimate.half, estimate.mean + estimate.half]
    : null;

function agreementOf({ quantity, at, residual, rows, unit, ...more }: AgreementResult) {
  return {
    ...{ quantity, at, mean_residual: residual.mean, ci95: ends(residual), n: rows, unit },
    ...{ measured: more.measured, accuracy: more.accuracy, departs: more.departs },
    ...{ stretches: more.stretches, stretches_beyond: more.beyond },
  };
}

function limitOf(
  { at, quantity, unit, direction, closest, lit, litCount, isLogged }: LimitSum,
  sums: RunSums,
) {
  return {
    at,
    closest: closest?.value ?? null,
    row: closest?.row ?? null,
    lit,
    ...{ quantity, unit: canonicalUnit(unit), direction, logged: isLogged, level: closest?.level ?? null },
    lit_count: litCount,
    ...(closest && fileOf(sums, closest.file)),
  };
}

/** The canonical unit of the dimension of a unit, as in the JSON of `derive`. */
const CANONICAL: Readonly<Record<string, string>> = {
  ratio: '1',
  temperature: 'K',
  pressure: 'Pa',
  'rotational speed': 'rpm',
  time: 's',
  angle: 'deg',
  voltage: 'V',
  length: 'm',
  'volume flow': 'm3/s',
  'mass flow': 'kg/s',
};

const canonicalUnit = (unit: string): string => CANONICAL[splitUnit(unit)?.unit.dimension ?? ''] ?? '1';

function outsideOf({ row, quantity, value, unit, file, limit, from, to, rows }: Outside, sums: RunSums) {
  return { row, quantity, value, unit, limit, from, to, rows, ...fileOf(sums, file) };
}

function cellOf(cell: MeasuredCell, { mapSets }: FillingSum) {
  const [only, ...others] = mapSets;
  return {
    map_set: only && others.length === 0 ? only : null,
    ...{ row: cell.row, column: cell.column, now: cell.now, measured: cell.measured },
    standard_uncertainty: cell.uncertainty,
    rows: cell.rows,
    believed: cell.believed,
    ...{
      instrument_uncertainty: cell.ofInstruments,
      effective_rows: cell.effectiveRows,
      leverage: cell.leverage,
    },
  };
}

function powerOf(
  { speed, rows, values, meanEffectivePressure, efficiency }: PowerResult,
  { corrections }: RunSums,
) {
  const [correction, ...others] = corrections;
  const isOne = correction !== undefined && others.length === 0;
  return {
    speed,
    n: rows,
    brake_power: values.brake_power?.mean ?? null,
    corrected_power: values.corrected_power?.mean ?? null,
    standard: isOne ? correction.standard : null,
    factor: isOne ? correction.factor : null,
    ci95: ends(values.brake_power),
    torque: values.torque?.mean ?? null,
    mean_effective_pressure: meanEffectivePressure ?? null,
    specific_consumption: values.specific_consumption?.mean ?? null,
    efficiency: efficiency ?? null,
    ci95_of: {
      brake_power: ends(values.brake_power),
      corrected_power: ends(values.corrected_power),
      torque: ends(values.torque),
      specific_consumption: ends(values.specific_consumption),
    },
  };
}

function differenceOf({ speed, values }: BinDifference) {
  const of = (difference: Estimate | undefined) =>
    difference ? { mean: difference.mean, ci95: ends(difference) } : null;
  return {
    speed,
    brake_power: of(values.brake_power),
    corrected_power: of(values.corrected_power),
    specific_consumption: of(values.specific_consumption),
  };
}
