import type { Installation } from '../configuration/installation.ts';
import {
  isOfAircraft,
  pinOfEnd,
  standbyPinOfEnd,
  type Terminal,
  terminalsOf,
} from '../configuration/terminals.ts';
import { circuitsOf, type NamedCircuit, Nets, netsOf } from './circuits.ts';
import { faultsOf, type SensorFault, sensorFaults } from './faults.ts';
import { classesOf, hasAny, neededBy } from './feeds.ts';
import {
  type FaultKind,
  type Loss,
  lossOf,
  lossOfAll,
  lossOfDrive,
  type SingleFault,
  together,
} from './loss.ts';
import { PROTECTORS } from './wiring.ts';

/** Each circuit open, shorted to ground and shorted to supply; each fuse and splice open. */
export function circuitFaults(installation: Installation): SingleFault[] {
  const { configuration } = installation;
  const circuits = circuitsOf(configuration);
  const ofCircuits = circuits.flatMap((one): SingleFault[] => {
    const of = `harness.circuits.${one.name}`;
    const open = lossOfOpen(installation, [one]);
    return [
      faultOf(installation, of, 'open', open),
      ...(['shorted_to_ground', 'shorted_to_supply'] as const).map((fault) =>
        faultOf(installation, of, fault, shorted(installation, one, fault)),
      ),
      ...PROTECTORS.filter((protector) => one.circuit[protector]).map((protector) =>
        faultOf(installation, `${of}.${protector}`, 'open', open),
      ),
    ];
  });
  const ofSplices = Object.keys(configuration.harness?.splices ?? {}).map((name) => {
    const joined = circuits.filter(({ ends }) => ends.some(({ text }) => text === `splices.${name}`));
    return faultOf(installation, `harness.splices.${name}`, 'open', lossOfOpen(installation, joined));
  });
  return [...ofCircuits, ...ofSplices];
}

/** What is lost with a connector of the harness apart: the circuits that pass it. */
export const lossOfConnector = (connector: string, installation: Installation): Loss =>
  lossOfOpen(
    installation,
    circuitsOf(installation.configuration).filter(({ via }) =>
      via.some(({ text }) => text.slice(0, text.lastIndexOf('.')) === connector),
    ),
  );

function faultOf(installation: Installation, of: string, fault: FaultKind, loss: Loss): SingleFault {
  const way = wayOf(installation, fault, loss);
  return { of, fault, loss, ...(way && { way }) };
}

/** What the controller uses for the only sensor that is lost: its substitute value, or the end to which the wire is pulled. */
function wayOf(
  installation: Installation,
  fault: FaultKind,
  { sensors, controller }: Loss,
): SensorFault | undefined {
  const [name, ...others] = sensors;
  if (name === undefined || others.length > 0 || controller) return undefined;
  if (!sensorFaults(installation).some((one) => one.name === name)) return undefined;
  const kind = installation.configuration.sensors?.[name]?.kind?.text;
  const isPulledUp = kind === 'thermistor' || kind === 'rtd';
  const end = fault === 'shorted_to_supply' || (fault === 'open' && isPulledUp) ? 'high' : 'low';
  const ways = faultsOf(name, installation);
  return ways.find((one) => one.case === 'substitute') ?? ways.find((one) => one.case === end);
}

/** What no longer has a connection without some circuits. */
export function lossOfOpen(installation: Installation, removed: readonly NamedCircuit[]): Loss {
  if (removed.length === 0) return lossOf({});
  const all = circuitsOf(installation.configuration);
  const before = netsOf(all);
  const touched = new Set(removed.flatMap(({ ends }) => ends.flatMap(({ text }) => before.with(text))));
  // What is not connected with them stays as it is.
  const left = all.filter((one) => !removed.includes(one) && one.ends.some(({ text }) => touched.has(text)));
  const after = new Nets(left);
  const classify = classesOf(installation);
  const isCut = (end: string, net: readonly string[], nets: readonly (readonly string[])[]) => {
    const own = classify.of(end);
    const needed = neededBy(own, classify.in(net));
    return needed.length > 0 && !nets.some((one) => hasAny(classify.in(one), needed, own));
  };
  const cut = [...touched].filter(
    (end) => !isOfAircraft(end) && isCut(end, before.with(end), [after.with(end)]),
  );
  // A device may be on several circuits, each a net of its own.
  const netsAt = (nets: Nets, end: string) =>
    all.map(({ name }) => nets.on(end, name)).filter((net) => net.length > 0);
  const cutOfDevices = deviceEnds(removed.flatMap((one) => netOfCircuit(before, one))).filter((end) =>
    netsAt(before, end).some((net) => isCut(end, net, netsAt(after, end))),
  );
  return lossOfEnds(installation, new Set([...cut, ...cutOfDevices]), (terminal) =>
    lossOfTerminal(terminal, 'open', installation),
  );
}

const netOfCircuit = (nets: Nets, { name, ends }: NamedCircuit): readonly string[] =>
  nets.on(ends[0]?.text ?? '', name);

const deviceEnds = (ends: readonly string[]): readonly string[] =>
  [...new Set(ends)].filter((end) => end.startsWith('devices.'));

/** What is lost when a conductor and all that is connected with it are pulled to ground or supply. */
function shorted(
  installation: Installation,
  circuit: NamedCircuit,
  fault: 'shorted_to_ground' | 'shorted_to_supply',
): Loss {
  const net = new Set(netOfCircuit(netsOf(circuitsOf(installation.configuration)), circuit));
  if (net.has(fault === 'shorted_to_ground' ? 'ground' : 'supply')) return NOTHING;
  const harmless = fault === 'shorted_to_ground' ? ['ground', 'sensor-ground'] : ['supply'];
  const pins = installation.controller?.pins ?? {};
  for (const end of net) {
    const role = pins[pinOfEnd(end) ?? '']?.role?.text;
    if (role !== undefined && harmless.includes(role)) net.delete(end);
  }
  const isHeld = fault === 'shorted_to_supply' && !net.has('ground');
  return lossOfEnds(installation, net, (terminal) => lossOfTerminal(terminal, fault, installation, isHeld));
}

function lossOfEnds(
  { configuration, controller, standby }: Installation,
  ends: ReadonlySet<string>,
  lossAt: (terminal: Terminal) => Loss,
): Loss {
  const terminals = terminalsOf(configuration).filter(({ path }) => ends.has(path));
  const all = circuitsOf(configuration).flatMap((one) => one.ends.map(({ text }) => text));
  const wired = all.flatMap((end) => pinOfEnd(end) ?? []);
  const roleOf = (pin: string) => controller?.pins?.[pin]?.role?.text;
  const isRoleLost = (role: string, of: typeof controller, pinOf: typeof pinOfEnd) => {
    const ofRole = all.filter((end) => of?.pins?.[pinOf(end) ?? '']?.role?.text === role);
    return ofRole.length > 0 && ofRole.every((end) => ends.has(end));
  };
  const isUnpowered = (of: typeof controller, pinOf: typeof pinOfEnd) =>
    isRoleLost('supply', of, pinOf) || isRoleLost('ground', of, pinOf);
  const isStandbyLost = isUnpowered(standby?.controller, standbyPinOfEnd);
  if (isUnpowered(controller, pinOfEnd)) return lossOfAll(configuration, isStandbyLost);
  const busPins = configuration.bus?.pins?.items.map(({ text }) => text) ?? [];
  const isOfBus = (pin: string) => busPins.includes(pin) || roleOf(pin) === 'bus';
  const bus =
    configuration.bus !== undefined && wired.some((pin) => isOfBus(pin) && ends.has(`controller.${pin}`));
  return together([lossOf({ bus, standby: isStandbyLost }), ...terminals.map(lossAt)]);
}

const NOTHING = lossOf({});

/** What is lost with one terminal; a device with the name of an output is what the output switches. */
function lossOfTerminal(
  terminal: Terminal,
  fault: FaultKind,
  installation: Installation,
  isHeld = false,
): Loss {
  const { section, owner, name } = terminal;
  const output =
    section === 'outputs' || section === 'devices' ? installation.configuration.outputs?.[owner] : undefined;
  const isGround = name === 'ground' && fault === 'shorted_to_ground';
  // The position sensor of a servo has the supply of a sensor.
  const isLoad = section === 'outputs' && output?.drives?.text !== 'wastegate-servo';
  const isLoadSupply = (isLoad && name === 'supply') || name === 'heater_supply';
  if (isGround || (isLoadSupply && fault === 'shorted_to_supply')) return NOTHING;
  if (section === 'sensors') return lossOf({ sensors: [owner] });
  if (section === 'inputs') return lossOf({ inputs: [owner] });
  if (!output) return NOTHING;
  if (section === 'devices') return isHeld ? lossOf({ held: [owner] }) : lossOf({ outputs: [owner] });
  return name === 'drive' ? lossOfDrive(owner, output, fault, installation) : lossOf({ outputs: [owner] });
}
