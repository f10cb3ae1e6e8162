import { byPin } from '../configuration/pin-plan.ts';
import { endNumberStart } from '../configuration/pins.ts';
import { pinOfEnd } from '../configuration/terminals.ts';
import { type NamedCircuit, netsOf } from '../derived/circuits.ts';
import { groupedBy } from '../grouped-by.ts';

/** The circuits that belong to one connector of the controller. */
export interface CircuitGroup {
  /** Empty for the circuits that reach no controller pin. */
  readonly connector: string;
  readonly circuits: readonly NamedCircuit[];
}

/**
 * The circuits by the connector of the controller, in order: each with everything that it is connected with through splices, so
 * that a part of a drawing is complete. Those that reach no pin come last.
 */
export function circuitGroups(circuits: readonly NamedCircuit[]): readonly CircuitGroup[] {
  const nets = netsOf(circuits);
  const connectorOf = ({ name, ends }: NamedCircuit): string => {
    const pins = nets.on(ends[0]?.text ?? '', name).flatMap((end) => pinOfEnd(end) ?? []);
    const [first] = pins.sort(byPin);
    return first === undefined ? '' : first.slice(0, endNumberStart(first)) || first;
  };
  return [...groupedBy(circuits, connectorOf)]
    .map(([connector, own]) => ({ connector, circuits: own }))
    .sort(
      (a, b) => Number(a.connector === '') - Number(b.connector === '') || byPin(a.connector, b.connector),
    );
}
