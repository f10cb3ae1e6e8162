import { byPin } from '../configuration/pin-plan.ts';
import { type NamedCircuit, netsOf } from '../derived/circuits.ts';
import { groupedBy } from '../grouped-by.ts';
import { type PinConnector, pinsAtEnd } from './graph.ts';

/** The circuits that belong to one connector of a controller. */
export interface CircuitGroup {
  /** Undefined for the circuits that reach no pin. */
  readonly controller: PinConnector['controller'] | undefined;
  readonly connector: string;
  readonly circuits: readonly NamedCircuit[];
}

/**
 * The circuits by the connector of the controller, in order: each with everything that it is connected with through splices, so
 * that a part of a drawing is complete. Then those that reach only the standby controller, by its connectors; those that reach
 * no pin come last.
 */
export function circuitGroups(circuits: readonly NamedCircuit[]): readonly CircuitGroup[] {
  const nets = netsOf(circuits);
  const grouped = circuits.map((circuit) => {
    const { name, ends } = circuit;
    const pins = nets.on(ends[0]?.text ?? '', name).flatMap((end) => pinsAtEnd(end) ?? []);
    const [first] = pins.sort((a, b) => rankOf(a) - rankOf(b) || byPin(a.pin, b.pin));
    return { circuit, controller: first?.controller, connector: first?.connector ?? '' };
  });
  return [...groupedBy(grouped, ({ controller, connector }) => `${controller} ${connector}`).values()]
    .map((own) => ({ ...own[0]!, circuits: own.map(({ circuit }) => circuit) }))
    .sort((a, b) => rankOf(a) - rankOf(b) || byPin(a.connector, b.connector))
    .map(({ controller, connector, circuits: own }) => ({ controller, connector, circuits: own }));
}

const ORDER: readonly CircuitGroup['controller'][] = ['controller', 'standby', undefined];

const rankOf = ({ controller }: Pick<CircuitGroup, 'controller'>): number => ORDER.indexOf(controller);
