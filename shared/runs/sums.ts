import type { AgreementSum } from './agreement.ts';
import { FillingSum } from './filling-sum.ts';
import { type LimitSum, mergeLimit } from './limit-watch.ts';
import { Moments } from './moments.ts';
import { MOST_OUTSIDE, type Outside } from './outside.ts';
import { type Correction, PowerSum } from './power.ts';

/** The version of the sums as JSON. */
const VERSION = 2;

/** The most entries of a list; of further ones only the count is kept, so that memory does not grow with the rows. */
export const MOST_LISTED = 10_000;

export interface Refused {
  readonly line: number;
  readonly reason: string;
  readonly file: number;
}

export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly rows: number;
  readonly file: number;
}

export interface ColumnSum {
  readonly name: string;
  readonly quantity: string | undefined;
  readonly unit: string;
}

/** When a light was on in the log but not by the text, or the other way round. */
export interface LightDifference {
  readonly light: 'caution' | 'warning';
  readonly logged: boolean;
  readonly from: number;
  readonly to: number;
  readonly file: number;
}

/** What a run says: sums that are merged with those of other runs of the same engine, in any order. */
export interface RunSums {
  readonly files: string[];
  /** What they depend on, see `engineText`. */
  readonly engine: string;
  readonly kind: 'brake' | 'flight';
  rows: number;
  refused: Refused[];
  refusedCount: number;
  gaps: Stretch[];
  gapCount: number;
  columns: readonly ColumnSum[];
  steady: Stretch[];
  steadyCount: number;
  steadyRows: number;
  agreement: AgreementSum[];
  limits: LimitSum[];
  lights: LightDifference[];
  lightCount: number;
  outside: Outside[];
  outsideCount: number;
  filling: FillingSum[];
  power: PowerSum;
  corrections: Correction[];
  /** Pa of mean effective pressure per Nm; undefined if the displacement is unknown. */
  readonly perTorque: number | undefined;
  /** Lower heating value, J/kg. */
  readonly heatingValue: number | undefined;
  /** What was assumed, and what could not be computed, as sentences. */
  notes: string[];
}

/** Why the sums of two runs cannot be taken together, as the end of a sentence; undefined if they can. */
export function mergeProblem(one: RunSums, other: RunSums): string | undefined {
  if (one.engine !== other.engine)
    return 'are runs of different engines, or of other maps of volumetric efficiency or limits';
  return binProblem(one, other);
}

/** Why the power of two runs cannot be compared, as the end of a sentence. */
export const binProblem = ({ power }: RunSums, other: RunSums): string | undefined =>
  power.width === other.power.width
    ? undefined
    : `have different widths of speed bins (${power.width} and ${other.power.width} rpm)`;

/** Adds the sums of another run, for which there is no `mergeProblem`. */
export function mergeSums(own: RunSums, other: RunSums): void {
  const files = own.files.length;
  const moved = <Item extends { readonly file: number }>(items: readonly Item[]) =>
    items.map((item) => ({ ...item, file: item.file + files }));
  const joined = <Item extends { readonly file: number }>(
    first: Item[],
    second: readonly Item[],
    most = MOST_LISTED,
  ) => [...first, ...moved(second)].slice(0, most);
  own.refused = joined(own.refused, other.refused);
  own.gaps = joined(own.gaps, other.gaps);
  own.steady = joined(own.steady, other.steady);
  own.lights = joined(own.lights, other.lights);
  own.outside = joined(own.outside, other.outside, MOST_OUTSIDE);
  for (const name of COUNTS) own[name] += other[name];
  own.columns = [
    ...own.columns,
    ...other.columns.filter(({ name }) => !own.columns.some((column) => column.name === name)),
  ];
  for (const sum of other.agreement) addAgreement(own.agreement, sum);
  for (const limit of other.limits) {
    const same = own.limits.find(({ at }) => at === limit.at);
    if (same) mergeLimit(same, limit, files);
    else if (limit.closest)
      own.limits.push({ ...limit, closest: { ...limit.closest, file: limit.closest.file + files } });
    else own.limits.push(limit);
  }
  for (const sum of other.filling) {
    const same = own.filling.find(({ map }) => map.at === sum.map.at);
    if (same) same.merge(sum);
    else own.filling.push(sum);
  }
  own.power.merge(other.power);
  own.corrections = distinct([...own.corrections, ...other.corrections]);
  own.notes = [...new Set([...own.notes, ...other.notes])];
  own.files.push(...other.files);
}

/** Adds the sum of another run, or of another map set, to that of the same quantity. */
export function addAgreement(all: AgreementSum[], sum: AgreementSum): void {
  const same = all.find(({ quantity, at }) => quantity === sum.quantity && at === sum.at);
  if (!same) all.push(sum);
  else {
    same.residual.merge(sum.residual);
    for (const name of ['measured', 'stretches', 'beyond', 'accuracy', 'digits'] as const)
      same[name] += sum[name];
  }
}

const COUNTS = [
  'rows',
  'refusedCount',
  'gapCount',
  'steadyCount',
  'steadyRows',
  'lightCount',
  'outsideCount',
] as const;

function distinct(corrections: readonly Correction[]): Correction[] {
  const known = new Map(corrections.map((one) => [JSON.stringify(one), one]));
  return [...known.values()];
}

/** The sums as JSON text, to be read with `readSums`. */
export function writeSums({ filling, power, agreement, ...plain }: RunSums): string {
  const document = {
    runsums: VERSION,
    ...plain,
    filling: filling.map((sum) => sum.toJson()),
    power: power.toJson(),
    agreement: agreement.map(({ residual, ...rest }) => ({ ...rest, residual: residual.toList() })),
  };
  return `${JSON.stringify(document)}\n`;
}

/** Undefined for a text that `writeSums` did not write. */
export function readSums(text: string): RunSums | undefined {
  try {
    const { runsums, filling, power, agreement, ...plain } = JSON.parse(text);
    if (runsums !== VERSION) return undefined;
    return {
      ...plain,
      filling: filling.map(FillingSum.from),
      power: PowerSum.from(power),
      agreement: agreement.map(({ residual, ...rest }: { residual: number[] }) => ({
        ...rest,
        residual: Moments.from(residual),
      })),
    };
  } catch {
    return undefined;
  }
}
