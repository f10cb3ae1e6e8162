import type { RunConfiguration } from '../../generated/configuration.ts';
import type { Tolerance } from '../quantity/index.ts';
import { accuracyAt } from './agreement.ts';
import type { Columns } from './columns.ts';
import { powerQuantity } from './fold-parts.ts';
import type { RowPlaces } from './row-places.ts';
import { accuraciesOf } from './setup.ts';

/** How well the quantities of a run are measured: the stated accuracy of instruments, and the digits of the log. */
export class Instruments {
  readonly #accuracies: ReadonlyMap<string, Tolerance>;

  constructor(
    run: Pick<RunConfiguration, 'accuracy'>,
    readonly columns: Columns,
    readonly places: RowPlaces,
    /** The smallest step that a column shows so far. */
    readonly resolution: (column: number) => number,
  ) {
    this.#accuracies = accuraciesOf(run);
  }

  /** The largest error of the instrument at a value; 0 if none is stated. */
  accuracy(quantity: string, value: number): number {
    const measured = quantity === 'brake_power' ? powerQuantity(this.columns) : quantity;
    const tolerance = this.#accuracies.get(measured);
    // A width is stated as a flow by volume, and the value is one by mass.
    const own =
      tolerance?.width && quantity === 'fuel_flow'
        ? { ...tolerance, width: tolerance.width * this.places.lastDensity }
        : tolerance;
    return accuracyAt(own, value);
  }

  /** Half a step of the last digit of a quantity. */
  digits(quantity: string): number {
    const place = this.columns.place(quantity);
    if (place < 0) return 0;
    const half = this.resolution(place) / 2;
    return this.columns.all[place]!.isVolume ? half * this.places.lastDensity : half;
  }

  /** The same for a derived value at a state, whose speed, pressure and throttle are rounded as well. */
  digitsAt(quantity: string, value: number): number {
    const own = quantity === 'brake_power' ? 0 : this.digits(quantity);
    const ofState =
      this.places.means.relative((name) => this.digits(name)) + this.digits('throttle_position');
    // Advance and temperature change less than in proportion to the state.
    const size = quantity === 'charge_temperature' || quantity === 'ignition_advance' ? value / 3 : value;
    return own + Math.abs(size) * ofState;
  }
}
