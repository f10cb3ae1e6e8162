import { capital } from '../capital.ts';
import { brakeThermalEfficiency } from '../physics/cylinder.ts';
import { departs, halfOf } from './agreement.ts';
import { type MeasuredCell, measuredCells } from './filling.ts';
import type { FillingSum } from './filling-sum.ts';
import type { Estimate, Moments } from './moments.ts';
import { type BinDifference, differences, type PowerBin, type PowerValue } from './power.ts';
import type { RunSums } from './sums.ts';

export interface AgreementResult {
  readonly quantity: string;
  readonly at: string;
  readonly unit: string;
  /** Measured less derived. */
  readonly residual: Estimate;
  /** The mean of what was measured. */
  readonly measured: number;
  /** Half the width of the instrument's error. */
  readonly accuracy: number;
  readonly rows: number;
  readonly stretches: number;
  /** Stretches whose mean departs. */
  readonly beyond: number;
  /** Whether the mean departs beyond its interval and the accuracy of the instrument. */
  readonly departs: boolean;
}

export interface PowerResult {
  readonly rows: number;
  readonly speed: number;
  readonly values: Readonly<Record<Exclude<PowerValue, 'speed'>, Estimate | undefined>>;
  /** Pa. */
  readonly meanEffectivePressure: number | undefined;
  /** Ratio. */
  readonly efficiency: number | undefined;
}

/** A map of volumetric efficiency with the cells that rows bear on. */
export interface FilledMap {
  readonly sum: FillingSum;
  readonly cells: readonly MeasuredCell[];
}

/** What a run, or several that were merged, says. */
export interface RunResult {
  readonly sums: RunSums;
  readonly agreement: readonly AgreementResult[];
  /** The maps of volumetric efficiency that rows say something about. */
  readonly maps: readonly FilledMap[];
  readonly power: readonly PowerResult[];
}

export function resultOf(sums: RunSums): RunResult {
  return {
    sums,
    agreement: sums.agreement.filter(({ residual }) => residual.count > 0).map(agreementOf),
    maps: sums.filling
      .map((sum) => ({ sum, cells: measuredCells(sum) }))
      .filter(({ cells }) => cells.length > 0),
    power: sums.power.bins.map(([, bin]) => powerOf(bin, sums)),
  };
}

function agreementOf({
  quantity,
  at,
  unit,
  residual,
  measured,
  ...sum
}: RunSums['agreement'][number]): AgreementResult {
  const digits = sum.digits / residual.count;
  const accuracy = sum.accuracy / residual.count;
  return {
    ...{ quantity, at, unit, accuracy },
    residual: { mean: residual.mean, half: halfOf(residual, digits) },
    measured: measured / residual.count,
    rows: residual.count,
    ...{ stretches: sum.stretches, beyond: sum.beyond },
    departs: departs(residual, accuracy, digits),
  };
}

const estimateOf = (moments: Moments): Estimate | undefined =>
  moments.count > 0 ? { mean: moments.mean, half: moments.halfWidth } : undefined;

function powerOf(bin: PowerBin, { perTorque, heatingValue }: RunSums): PowerResult {
  const consumption = bin.specific_consumption;
  return {
    rows: bin.brake_power.count,
    speed: bin.speed.mean,
    values: {
      brake_power: estimateOf(bin.brake_power),
      corrected_power: estimateOf(bin.corrected_power),
      torque: estimateOf(bin.torque),
      fuel_flow: estimateOf(bin.fuel_flow),
      specific_consumption: estimateOf(consumption),
    },
    meanEffectivePressure:
      perTorque === undefined || bin.torque.count === 0 ? undefined : perTorque * bin.torque.mean,
    efficiency:
      heatingValue === undefined || consumption.count === 0
        ? undefined
        : brakeThermalEfficiency({ specificConsumption: consumption.mean, heatingValue }),
  };
}

/** What changed from some runs to others. */
export interface Change {
  readonly bins: readonly BinDifference[];
  /** One sentence: whether power and consumption changed beyond chance. */
  readonly sentence: string;
}

export function changeBetween(before: RunSums, after: RunSums): Change {
  const bins = differences(before.power, after.power);
  return { bins, sentence: sentenceOf(bins) };
}

function sentenceOf(bins: readonly BinDifference[]): string {
  if (bins.length === 0) return 'No bin of speed has power before and after, so nothing can be compared.';
  const parts = (
    [
      ['brake_power', 'brake power'],
      ['specific_consumption', 'specific consumption'],
    ] as const
  ).flatMap(([name, words]) => {
    const known = bins.flatMap(({ values }) => values[name] ?? []);
    if (known.length === 0) return [];
    const beyond = known.filter(({ mean, half }) => Math.abs(mean) > half);
    const up = beyond.filter(({ mean }) => mean > 0).length;
    const down = beyond.length - up;
    if (beyond.length === 0) return `${words} did not change beyond chance in any of ${known.length} bins`;
    const ways = [up > 0 ? `higher in ${up}` : '', down > 0 ? `lower in ${down}` : ''].filter(Boolean);
    // One in twenty intervals misses the truth even if nothing changed.
    const note = beyond.length <= known.length / 20 ? ', which is no more than chance brings' : '';
    return `${words} is beyond chance ${ways.join(' and ')} of ${known.length} bins${note}`;
  });
  return `${capital(parts.join('; '))} (95 % intervals).`;
}
