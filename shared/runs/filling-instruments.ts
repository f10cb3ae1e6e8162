import type { EngineConfiguration } from '../../generated/configuration.ts';
import { halfWidthOf } from '../quantity/index.ts';
import type { Instruments } from './instruments.ts';
import type { RowPlaces } from './row-places.ts';

/**
 * Reads the squared relative standard uncertainty of the filling of a row by its instruments, the digits of the log and the tolerance
 * of the injectors: half widths are those of uniform distributions (JCGM 100:2008, 4.3.7), and independent of each other (5.1.2).
 */
export function instrumentReader(
  places: RowPlaces,
  instruments: Instruments,
  { fuel }: EngineConfiguration,
): (row: Float64Array) => number {
  const quantities = ['lambda', 'manifold_pressure', 'charge_temperature', 'injector_pulse_width'].filter(
    (quantity) => places.of(quantity) >= 0,
  );
  const flow = fuel?.injectors?.static_flow;
  // Without a logged pulse width, the injectors deliver what the text expects, as far as their flow is that of the text.
  const ofFlow = flow?.quantity.tolerance
    ? halfWidthOf(flow.quantity.tolerance, flow.canonical) / flow.canonical
    : 0;
  const columnsOf = quantities.map((quantity) => ({
    quantity,
    place: quantity === 'lambda' ? places.shifted : places.of(quantity),
  }));
  return (row) => {
    let sum = ofFlow * ofFlow;
    for (const { quantity, place } of columnsOf) {
      const value = row[place]!;
      const share = instruments.accuracy(quantity, value) / value;
      const rounding = instruments.digits(quantity) / value;
      sum += share * share + rounding * rounding;
    }
    return sum / 3;
  };
}
