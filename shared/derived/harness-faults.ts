import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { pinPlan } from '../configuration/pin-plan.ts';
import { groupedBy } from '../grouped-by.ts';
import { pathOf, pathText } from '../source/tree.ts';
import { circuitFaults, lossOfConnector } from './circuit-faults.ts';
import { type Loss, lossOf, lossOfAll, type SingleFault, together } from './loss.ts';
import { harnessWires, PROTECTORS } from './wiring.ts';

/** The faults of wires, fuses, connectors and the supply. */
export function harnessFaults(installation: Installation): SingleFault[] {
  const { configuration } = installation;
  const { harness } = configuration;
  const wires = harnessWires(configuration).map((one) => ({
    ...one,
    path: pathText(['harness', 'connectors', one.connector, 'wires', one.position]),
    loss: lossOfCircuit(one.wire.circuit?.text, configuration),
  }));
  const supply = { of: 'harness.supply', fault: 'lost', loss: lossOfAll(configuration, true) } as const;
  const wiresOf = groupedBy(wires, ({ connector }) => connector);
  return [
    ...(harness?.supply ? [supply] : []),
    ...circuitFaults(installation),
    ...Object.keys(harness?.connectors ?? {}).flatMap((connector): SingleFault[] => {
      const own = wiresOf.get(connector) ?? [];
      return [
        {
          of: pathText(['harness', 'connectors', connector]),
          fault: 'lost',
          loss: together([...own.map(({ loss }) => loss), lossOfConnector(connector, installation)]),
        },
        ...own.flatMap(({ path, wire, loss }): SingleFault[] => [
          { of: path, fault: 'open', loss },
          ...PROTECTORS.filter((protector) => wire[protector]).map((protector) => ({
            of: `${path}.${protector}`,
            fault: 'open' as const,
            loss,
          })),
        ]),
      ];
    }),
    ...connectorsOfController(installation),
  ];
}

/**
 * What a circuit feeds, by its name. With several supply or ground wires the file does not say which of them feeds what, so
 * each counts as feeding everything.
 */
function lossOfCircuit(circuit: string | undefined, configuration: EngineConfiguration): Loss {
  if (circuit === 'supply' || circuit === 'ground') return lossOfAll(configuration, true);
  const named = (section: object | undefined) =>
    circuit !== undefined && section && Object.hasOwn(section, circuit) ? [circuit] : [];
  const { sensors, inputs, outputs } = configuration;
  return lossOf({ sensors: named(sensors), inputs: named(inputs), outputs: named(outputs) });
}

/** A connector of the controller that comes apart: everything on its pins is lost. */
function connectorsOfController({ configuration, controller }: Installation): SingleFault[] {
  const { connectors } = pinPlan(configuration, controller);
  const pinsWithRole = (role: string) =>
    Object.entries(controller?.pins ?? {}).flatMap(([name, pin]) => (pin.role?.text === role ? [name] : []));
  return connectors.flatMap(({ name: connector, pins }): SingleFault[] => {
    const own = new Set(pins.map(({ name }) => name));
    const holdsAll = (role: string) => {
      const ofRole = pinsWithRole(role);
      return ofRole.length > 0 && ofRole.every((pin) => own.has(pin));
    };
    const uses = pins.flatMap((pin) => pin.uses);
    const isPowered = !holdsAll('supply') && !holdsAll('ground');
    const isOnBus = uses.some(({ node }) => pathOf(node)[0] === 'bus');
    const bus = configuration.bus !== undefined && (isOnBus || holdsAll('bus'));
    if (uses.length === 0 && isPowered && !bus) return [];
    const named = (section: string) =>
      uses.flatMap(({ owner, node }) => (pathOf(node)[0] === section ? [owner] : []));
    const loss = isPowered
      ? lossOf({ sensors: named('sensors'), inputs: named('inputs'), outputs: named('outputs'), bus })
      : lossOfAll(configuration);
    return [{ of: pathText(['controller', 'connectors', connector]), fault: 'lost', loss }];
  });
}
