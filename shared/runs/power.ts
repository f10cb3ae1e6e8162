import { type Estimate, Moments, welch } from './moments.ts';

/** What is averaged in a bin of speed at full throttle, in canonical units. */
export const POWER_VALUES = [
  'speed',
  'brake_power',
  'corrected_power',
  'torque',
  'fuel_flow',
  'specific_consumption',
] as const;
export type PowerValue = (typeof POWER_VALUES)[number];

export type PowerBin = Readonly<Record<PowerValue, Moments>>;

const emptyBin = (): PowerBin =>
  Object.fromEntries(POWER_VALUES.map((name) => [name, new Moments()])) as PowerBin;

/** How power is corrected, which differs from run to run. */
export interface Correction {
  readonly standard: string;
  readonly factor: number;
  readonly note: string;
}

/** The usual width of a bin in rpm. */
export const USUAL_BIN = 100;

/** The power at full throttle by bins of speed. */
export class PowerSum {
  readonly #bins = new Map<number, PowerBin>();
  #stretch: PowerBin | undefined;

  constructor(readonly width: number) {}

  /** Adds a row of the current stretch; NaN for what is unknown. */
  add(speed: number, torque: number, power: number, corrected: number, flow: number): void {
    this.#stretch ??= emptyBin();
    const { speed: speeds, brake_power, corrected_power, torque: torques } = this.#stretch;
    const { fuel_flow, specific_consumption } = this.#stretch;
    speeds.add(speed);
    if (!Number.isNaN(power)) brake_power.add(power);
    if (!Number.isNaN(torque)) torques.add(torque);
    if (!Number.isNaN(corrected)) corrected_power.add(corrected);
    if (Number.isNaN(flow)) return;
    fuel_flow.add(flow);
    if (power > 0) specific_consumption.add(flow / power);
  }

  /**
   * A whole stretch belongs to the bin of its mean speed, so that noise does not divide it. Bins begin at 75 % of their width,
   * as round speeds would otherwise be at their edges.
   */
  endStretch(): void {
    const stretch = this.#stretch;
    if (!stretch) return;
    this.#stretch = undefined;
    this.#merge(Math.floor(stretch.speed.mean / this.width + 0.25), stretch);
  }

  #merge(at: number, bin: PowerBin): void {
    const own = this.#bins.get(at) ?? emptyBin();
    this.#bins.set(at, own);
    for (const name of POWER_VALUES) own[name].merge(bin[name]);
  }

  /** By rising speed; only bins whose power is known. */
  get bins(): (readonly [at: number, bin: PowerBin])[] {
    this.endStretch();
    return [...this.#bins].filter(([, bin]) => bin.brake_power.count > 0).sort(([a], [b]) => a - b);
  }

  merge(other: PowerSum): void {
    this.endStretch();
    other.endStretch();
    for (const [at, bin] of other.#bins) this.#merge(at, bin);
  }

  toJson() {
    this.endStretch();
    return {
      width: this.width,
      bins: [...this.#bins].map(([at, bin]) => [at, POWER_VALUES.map((name) => bin[name].toList())] as const),
    };
  }

  static from({ width, bins }: ReturnType<PowerSum['toJson']>): PowerSum {
    const made = new PowerSum(width);
    for (const [at, lists] of bins) {
      const bin = Object.fromEntries(POWER_VALUES.map((name, i) => [name, Moments.from(lists[i]!)]));
      made.#merge(at, bin as PowerBin);
    }
    return made;
  }
}

/** After less before. */
export interface BinDifference {
  readonly speed: number;
  readonly values: Readonly<
    Record<'brake_power' | 'corrected_power' | 'specific_consumption', Estimate | undefined>
  >;
}

/** Where both runs have power in the same bin, how much it changed from `before` to `after`. */
export function differences(before: PowerSum, after: PowerSum): BinDifference[] {
  const first = new Map(before.bins);
  return after.bins.flatMap(([at, bin]) => {
    const old = first.get(at);
    if (!old) return [];
    const of = (name: PowerValue) => welch(old[name], bin[name]);
    return {
      speed: (old.speed.mean + bin.speed.mean) / 2,
      values: {
        brake_power: of('brake_power'),
        corrected_power: of('corrected_power'),
        specific_consumption: of('specific_consumption'),
      },
    };
  });
}
