import type { EngineConfiguration } from '../../generated/configuration.ts';
import { halfWidthOf, type Tolerance } from '../quantity/index.ts';
import { Moments } from './moments.ts';
import type { RowModel } from './row-model.ts';
import type { RowPlaces } from './row-places.ts';
import { ROW_VALUES, type RowValue } from './row-values.ts';

/** Measured less derived values of one quantity, in steady stretches. */
export interface AgreementSum {
  readonly quantity: string;
  /** The key that a departure speaks against. */
  readonly at: string;
  readonly unit: string;
  readonly residual: Moments;
  /** The sum of what was measured. */
  measured: number;
  /** Stretches whose mean departs beyond its interval and the instrument. */
  stretches: number;
  beyond: number;
  /** The largest error of the instrument and of the digits of the log, summed over the stretches' rows. */
  accuracy: number;
  digits: number;
}

interface Compared {
  readonly quantity: string;
  readonly value: RowValue;
  readonly unit: string;
  at(configuration: EngineConfiguration): string;
}

const compared: readonly Compared[] = [
  { quantity: 'manifold_pressure', value: 'targetPressure', unit: 'Pa', at: () => 'boost.target' },
  {
    quantity: 'charge_temperature',
    value: 'chargeTemperature',
    unit: 'K',
    at: ({ boost }) =>
      boost?.intercooler
        ? 'boost.intercooler.effectiveness'
        : boost
          ? 'boost.compressor.efficiency'
          : 'intake',
  },
  { quantity: 'ignition_advance', value: 'advance', unit: 'deg', at: () => 'ignition.advance' },
  {
    quantity: 'injector_pulse_width',
    value: 'pulseWidth',
    unit: 's',
    at: () => 'fuel.injectors.static_flow',
  },
  { quantity: 'injector_duty', value: 'duty', unit: '1', at: () => 'fuel.injectors.static_flow' },
  { quantity: 'fuel_flow', value: 'fuelFlow', unit: 'kg/s', at: () => 'fuel.injectors.static_flow' },
  { quantity: 'brake_power', value: 'power', unit: 'W', at: () => 'engine.specific_consumption' },
];

export const NO_TOLERANCE: Tolerance = { share: 0, width: 0 };

/** Compares the rows of steady stretches with what the text says of their state. */
export class Agreement {
  readonly sums: readonly AgreementSum[];
  readonly #measured: readonly ((row: Float64Array) => number)[];
  readonly #values: readonly number[];
  readonly #stretch: readonly Moments[];
  readonly #stretchMeasured: Float64Array;

  constructor(
    configuration: EngineConfiguration,
    places: RowPlaces,
    /** Brake power at the crankshaft in a row. */
    power: (row: Float64Array) => number,
    /** The accuracy of a quantity's instrument, and how far its digits reach (both half widths). */
    readonly accuracyOf: (quantity: string, value: number) => number,
    readonly digitsOf: (quantity: string, value: number) => number,
  ) {
    const retard = places.of('knock_retard');
    const found = compared.flatMap((one) => {
      const place = places.of(one.quantity);
      if (one.quantity === 'brake_power') {
        const isKnown = place >= 0 || places.torque >= 0;
        return isKnown ? [{ one, read: power }] : [];
      }
      if (place < 0) return [];
      // The controller logs what it delivers: the advance of the map less the retard of the knock loop.
      if (one.quantity === 'ignition_advance' && retard >= 0)
        return [{ one, read: (row: Float64Array) => row[place]! + row[retard]! }];
      return [{ one, read: (row: Float64Array) => row[place]! }];
    });
    this.sums = found.map(({ one }) => ({
      quantity: one.quantity,
      at: one.at(configuration),
      unit: one.unit,
      residual: new Moments(),
      ...{ measured: 0, stretches: 0, beyond: 0, accuracy: 0, digits: 0 },
    }));
    this.#measured = found.map(({ read }) => read);
    this.#values = found.map(({ one }) => ROW_VALUES.indexOf(one.value));
    this.#stretch = found.map(() => new Moments());
    this.#stretchMeasured = new Float64Array(found.length);
  }

  row(row: Float64Array, { values }: RowModel): void {
    for (let i = 0; i < this.sums.length; i++) {
      const measured = this.#measured[i]!(row);
      const residual = measured - values[this.#values[i]!]!;
      if (Number.isNaN(residual)) continue;
      this.#stretch[i]!.add(residual);
      this.#stretchMeasured[i]! += measured;
    }
  }

  endStretch(): void {
    this.sums.forEach((sum, i) => {
      const stretch = this.#stretch[i]!;
      if (stretch.count === 0) return;
      const mean = this.#stretchMeasured[i]! / stretch.count;
      const accuracy = this.accuracyOf(sum.quantity, mean);
      const digits = this.digitsOf(sum.quantity, mean);
      sum.stretches++;
      if (departs(stretch, accuracy, digits)) sum.beyond++;
      sum.accuracy += accuracy * stretch.count;
      sum.digits += digits * stretch.count;
      sum.residual.merge(stretch);
      sum.measured += this.#stretchMeasured[i]!;
      this.#stretchMeasured[i] = 0;
      stretch.clear();
    });
  }
}

/** Half the width of the 95 % interval of a mean residual, with what the digits of the log leave open. */
export const halfOf = (residual: Moments, digits: number): number =>
  Math.hypot(residual.halfWidth || 0, digits);

/** Whether a mean residual is beyond its interval and the accuracy of the instrument. */
export const departs = (residual: Moments, accuracy: number, digits: number): boolean =>
  Math.abs(residual.mean) > Math.max(halfOf(residual, digits), accuracy) && residual.count > 1;

/** Half the width of an instrument's error at a value. */
export const accuracyAt = (tolerance: Tolerance | undefined, value: number): number =>
  halfWidthOf(tolerance ?? NO_TOLERANCE, value);
