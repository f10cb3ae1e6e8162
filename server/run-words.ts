import { capital } from '../shared/capital.ts';
import { counted } from '../shared/counted.ts';
import { formatNumber, formatQuantity, quantityColumn, splitUnit, toUnit } from '../shared/quantity/index.ts';
import type { FillingSum } from '../shared/runs/filling-sum.ts';
import type { LimitSum } from '../shared/runs/limit-watch.ts';
import type { Estimate } from '../shared/runs/moments.ts';
import type { Outside } from '../shared/runs/outside.ts';
import type { BinDifference } from '../shared/runs/power.ts';
import { runQuantity } from '../shared/runs/quantities.ts';
import type { AgreementResult, FilledMap, PowerResult, RunResult } from '../shared/runs/result.ts';
import type { RunSums } from '../shared/runs/sums.ts';

/** The words and tables that every output of `runs` shares. */

/** A table: its head, and rows of texts. */
export interface Grid {
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** The unit for readers of a quantity, and of a difference of it. */
const unitsOf = (quantity: string): readonly [value: string, difference: string] => {
  const unit = quantity === 'fuel_flow' ? 'kg/h' : (runQuantity(quantity)?.unit ?? '');
  return [unit, splitUnit(unit)?.unit.dimension === 'temperature' ? 'K' : unit.replace(/ (abs|gauge)$/, '')];
};

const signed = (text: string): string => (text.startsWith('-') ? `−${text.slice(1)}` : `+${text}`);

/** `+1.2 ± 0.3 %`: both numbers with the same decimals. */
function plusMinus(mean: number, half: number, unit: string): string {
  const inUnit = (value: number) => (unit === '' ? value : toUnit(value, unit));
  const size = Math.abs(inUnit(half)) || Math.abs(inUnit(mean)) || 1;
  const decimals = Math.max(0, Math.min(6, 1 - Math.floor(Math.log10(size))));
  const number = signed(inUnit(mean).toFixed(decimals));
  const spread = Number.isFinite(half) ? ` ± ${inUnit(half).toFixed(decimals)}` : '';
  return `${number}${spread} ${unit}`.trim();
}

const label = (quantity: string): string => runQuantity(quantity)?.label ?? quantity;

/** `1 200 rows, 24 steady stretches with 1 150 rows; 2 lines refused` */
export function summary({ rows, refusedCount, steadyCount, steadyRows, gapCount }: RunSums): string {
  const parts = [
    counted(rows, 'row'),
    `${counted(steadyCount, 'steady stretch', 'steady stretches')} with ${counted(steadyRows, 'row')}`,
    ...(gapCount > 0 ? [counted(gapCount, 'gap')] : []),
    ...(refusedCount > 0 ? [`${counted(refusedCount, 'line')} refused`] : []),
  ];
  return `${parts.join(', ')}.`;
}

function agreementWords(agreement: readonly AgreementResult[]): string {
  if (agreement.length === 0) return 'nothing could be compared with the text';
  const departing = agreement.filter(({ departs }) => departs);
  if (departing.length > 0)
    return `${departing.map(({ quantity }) => label(quantity).toLowerCase()).join(', ')} ${departing.length === 1 ? 'departs' : 'depart'} from the text`;
  const inStretches = agreement.some(({ beyond }) => beyond > 0);
  return `no derived value departs from the text${inStretches ? ' on average' : ''}`;
}

/** What the run says in one sentence. */
export function verdict({ agreement, maps, sums }: RunResult): string {
  const believed = maps.flatMap(({ cells }) => cells.filter((cell) => cell.believed));
  const lit = sums.limits.filter(({ litCount }) => litCount > 0);
  const parts = [
    agreementWords(agreement),
    ...(believed.length > 0
      ? [`the measured volumetric efficiency of ${counted(believed.length, 'cell')} is believed to differ`]
      : []),
    ...(lit.length > 0 ? [`${counted(lit.length, 'limit')} reached`] : []),
    ...(sums.outsideCount > 0
      ? [`${counted(sums.outsideCount, 'stretch', 'stretches')} outside the envelope`]
      : []),
  ];
  return `${capital(parts.join('; '))}.`;
}

const fileOf = ({ files }: RunSums, file: number): string => (files.length > 1 ? `${files[file]} ` : '');

/** At most this many entries of a list are printed. */
const MOST_PRINTED = 20;

export function printed<Item>(items: readonly Item[], count: number, text: (item: Item) => string): string[] {
  const shown = items.slice(0, MOST_PRINTED).map(text);
  return count > shown.length ? [...shown, `and ${count - shown.length} more`] : shown;
}

export const refusedLines = ({ refused, refusedCount, ...sums }: RunSums): string[] =>
  printed(
    refused,
    refusedCount,
    ({ line, reason, file }) => `${fileOf(sums as RunSums, file)}line ${line}: ${reason}`,
  );

export function agreementGrid(agreement: readonly AgreementResult[]): Grid {
  return {
    head: ['Quantity', 'Measured less derived', 'Instrument', 'Stretches beyond', 'Verdict', 'Key'],
    rows: agreement.map(({ quantity, residual, accuracy, stretches, beyond, departs, at }) => {
      const [, unit] = unitsOf(quantity);
      return [
        label(quantity),
        plusMinus(residual.mean, residual.half, unit),
        accuracy > 0 ? `± ${formatQuantity(accuracy, unit)}` : 'not stated',
        `${beyond} of ${stretches}`,
        departs ? 'departs' : beyond > 0 ? 'agrees on average' : 'agrees',
        at,
      ];
    }),
  };
}

export function limitGrid(sums: RunSums): Grid {
  const logged = sums.limits.filter(({ closest }) => closest);
  return {
    head: ['Limit', 'Level', 'Closest', 'Row', 'Acted'],
    rows: logged.map((limit) => {
      const { at, unit, closest, litCount, lit } = limit;
      const [first] = lit;
      const show = quantityColumn([closest!.level, closest!.value], unit, 4);
      return [
        at,
        `${limit.direction} ${show(closest!.level)}`,
        show(closest!.value),
        `${fileOf(sums, closest!.file)}${closest!.row}`,
        litCount === 0
          ? 'no'
          : `${litCount === 1 ? 'once' : `${litCount} times`}, from ${formatNumber(first![0], 6)} s to ${formatNumber(first![1], 6)} s`,
      ];
    }),
  };
}

/** The limits whose quantity is not logged. */
export const unloggedLimits = ({ limits }: RunSums): string[] =>
  limits.filter(({ isLogged }) => !isLogged).map(({ at }: LimitSum) => at);

export const outsideLines = (sums: RunSums): string[] =>
  printed(sums.outside, sums.outsideCount, ({ row, quantity, value, limit, rows, file }: Outside) => {
    const [unit] = quantity === 'isa_deviation' ? ['K'] : unitsOf(quantity);
    const show = quantityColumn([value, limit], unit!, 4);
    const which = value > limit ? 'above' : 'below';
    return `${fileOf(sums, file)}row ${row}: ${label(quantity)} ${show(value)}, ${which} ${show(limit)}${rows > 1 ? ` (${rows} rows)` : ''}`;
  });

export const lightLines = (sums: RunSums): string[] =>
  printed(sums.lights, sums.lightCount, ({ light, logged, from, to, file }) => {
    const what = logged
      ? 'is logged as lit, but no limit lights it'
      : 'is logged as dark, but a limit lights it';
    return `${fileOf(sums, file)}${formatNumber(from, 6)} s to ${formatNumber(to, 6)} s: the ${light} light ${what}`;
  });

const percent = (ratio: number, decimals = 1): string => `${(100 * ratio).toFixed(decimals)} %`;

/** The map sets under which rows of a map ran. */
export const mapSetsOf = ({ mapSets }: FillingSum): string =>
  [...mapSets].map((name) => name || 'no map set').join(', ');

export function fillingGrid(maps: readonly FilledMap[]): Grid {
  const isOne = maps.length === 1;
  const enough = maps.flatMap(({ sum, cells }) =>
    cells
      .filter(({ rows, effectiveRows }) => rows > 0 && effectiveRows >= 1)
      .map((cell) => ({ ...cell, mapSets: isOne ? [] : [mapSetsOf(sum)] })),
  );
  return {
    head: [
      ...(isOne ? [] : ['Map set']),
      'Row',
      'Column',
      'Now',
      'Measured',
      'Change',
      'Uncertainty',
      'Rows',
      'Believed',
    ],
    rows: enough.map(({ mapSets, row, column, now, measured, uncertainty, rows, believed }) => [
      ...mapSets,
      String(row),
      String(column),
      percent(now),
      percent(measured),
      `${signed(((measured / now - 1) * 100).toFixed(1))} %`,
      percent(uncertainty / measured, 2),
      String(rows),
      believed ? 'yes' : 'no',
    ]),
  };
}

const estimate = (value: Estimate | undefined, unit: string): string => {
  if (!value) return '';
  const [mean, half] = [toUnit(value.mean, unit), toUnit(value.half, unit)];
  const decimals = unit === 'g/kWh' ? 0 : 1;
  return Number.isFinite(half)
    ? `${mean.toFixed(decimals)} ± ${half.toFixed(decimals)}`
    : mean.toFixed(decimals);
};

export function powerGrid(power: readonly PowerResult[]): Grid {
  return {
    head: [
      'Speed, rpm',
      'Rows',
      'Brake power, kW',
      'Corrected power, kW',
      'Torque, Nm',
      'Mean effective pressure, bar',
      'Consumption, g/kWh',
      'Efficiency, %',
    ],
    rows: power.map(({ speed, rows, values, meanEffectivePressure, efficiency }) => [
      speed.toFixed(0),
      String(rows),
      estimate(values.brake_power, 'kW'),
      estimate(values.corrected_power, 'kW'),
      estimate(values.torque, 'Nm'),
      meanEffectivePressure === undefined ? '' : (meanEffectivePressure / 1e5).toFixed(2),
      estimate(values.specific_consumption, 'g/kWh'),
      efficiency === undefined ? '' : (100 * efficiency).toFixed(1),
    ]),
  };
}

export function differenceGrid(bins: readonly BinDifference[]): Grid {
  const of = (difference: Estimate | undefined, unit: string) =>
    difference
      ? `${plusMinus(difference.mean, difference.half, unit)}${Math.abs(difference.mean) > difference.half ? ' *' : ''}`
      : '';
  return {
    head: ['Speed, rpm', 'Brake power', 'Corrected power', 'Consumption'],
    rows: bins.map(({ speed, values }) => [
      speed.toFixed(0),
      of(values.brake_power, 'kW'),
      of(values.corrected_power, 'kW'),
      of(values.specific_consumption, 'g/kWh'),
    ]),
  };
}

/** Under a table of differences. */
export const BEYOND_CHANCE = '* beyond chance: the 95 % interval (Welch) does not contain zero.';
