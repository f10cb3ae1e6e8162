import { splitUnit, toUnit } from '../shared/quantity/index.ts';
import type { Column } from '../shared/runs/columns.ts';
import type { FilledMap, RunResult } from '../shared/runs/result.ts';
import type { RunSums } from '../shared/runs/sums.ts';
import type { RunCurve, RunMap } from './features/run-view-types.ts';
import { mapSetsOf } from './run-words.ts';

/** What the page and the panel draw of a run. */

/** What is drawn over speed: the quantity, its label and its unit. */
export const CURVES = [
  ['brake_power', 'Brake power, kW', 'kW'],
  ['torque', 'Torque, Nm', 'Nm'],
  ['specific_consumption', 'Specific consumption, g/kWh', 'g/kWh'],
] as const;

/** A quantity over speed with its intervals; without a point if it is unknown. */
export function curveOf({ power }: RunResult, [name, label, unit]: (typeof CURVES)[number]): RunCurve {
  const known = power.flatMap(({ speed, values }) => (values[name] ? [{ speed, value: values[name] }] : []));
  const of = (sign: number) => known.map(({ value }) => toUnit(value.mean + sign * (value.half || 0), unit));
  return { label, speed: known.map(({ speed }) => speed), mean: of(0), low: of(-1), high: of(1) };
}

/** The departures on each map that rows say something about. */
export const departuresOf = ({ maps }: RunResult): RunMap[] => maps.map((map) => mapOf(map, maps.length > 1));

const mapOf = ({ sum, cells }: FilledMap, isOneOfSeveral: boolean): RunMap => ({
  mapSets: isOneOfSeveral ? mapSetsOf(sum) : '',
  columns: sum.map.x.map((speed) => String(Math.round(speed))),
  rows: sum.map.y.map((pressure) => String(Math.round(pressure / 100) / 10)),
  cells: cells.map(({ row, column, now, measured, believed }) => {
    const change = (measured / now - 1) * 100;
    return { row, column, text: `${change < 0 ? '−' : '+'}${Math.abs(change).toFixed(1)}`, believed };
  }),
});

/** A column of the log over time, with what the text says about it. */
export interface DrawnColumn {
  readonly name: string;
  readonly unit: string;
  /** The levels of its limits in its unit, by key path. */
  readonly levels: readonly { readonly at: string; readonly value: number }[];
  /** When its limits acted, in s. */
  readonly lit: readonly (readonly [from: number, to: number])[];
}

export const drawnColumnOf = ({ limits }: RunSums, { name, unit, quantity }: Column): DrawnColumn => {
  const own = limits.filter((limit) => limit.quantity === quantity && limit.closest);
  return {
    ...{ name, unit },
    levels: own.map(({ at, closest }) => ({ at, value: inUnitOf(unit)(closest!.columnLevel) })),
    lit: own.flatMap(({ lit }) => lit),
  };
};

/** Converts a number of a column into the unit that the log names, if that is known. */
export const inUnitOf = (unit: string): ((canonical: number) => number) =>
  splitUnit(unit) ? (canonical) => toUnit(canonical, unit) : (canonical) => canonical;
