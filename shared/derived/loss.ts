import type { EngineConfiguration, Output, Pin } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';

import type { FaultCase, SensorFault } from './faults.ts';

/** How something fails: a sensor by what the controller then uses, a wire or driver by where it is connected. */
export type FaultKind = FaultCase | 'open' | 'shorted_to_ground' | 'shorted_to_supply' | 'lost';

/** One thing of the installation that fails in one way. */
export interface SingleFault {
  /** The key path of what fails. */
  readonly of: string;
  readonly fault: FaultKind;
  readonly loss: Loss;
  /** If a sensor fails from which fuel and spark are computed: what the controller then uses. */
  readonly way?: SensorFault;
}

/** What a single fault takes away, by the names in the file. */
export interface Loss {
  /** Sensors whose signal no longer reaches the controller. */
  readonly sensors: ReadonlySet<string>;
  readonly inputs: ReadonlySet<string>;
  /** Outputs that can no longer be switched on. */
  readonly outputs: ReadonlySet<string>;
  /** Outputs that can no longer be switched off. */
  readonly held: ReadonlySet<string>;
  readonly bus: boolean;
  /** Whether the controller itself stops, and so everything that it does. */
  readonly controller: boolean;
  /** Whether the standby controller cannot take over. */
  readonly standby: boolean;
}

/** A loss as a list of names. */
export interface LossNames {
  readonly sensors?: readonly string[];
  readonly inputs?: readonly string[];
  readonly outputs?: readonly string[];
  readonly held?: readonly string[];
  readonly bus?: boolean;
  readonly standby?: boolean;
}

export const lossOf = ({
  sensors,
  inputs,
  outputs,
  held,
  bus = false,
  standby = false,
}: LossNames): Loss => ({
  sensors: new Set(sensors),
  inputs: new Set(inputs),
  outputs: new Set(outputs),
  held: new Set(held),
  bus,
  controller: false,
  standby,
});

/** The loss of the controller: all its sensors, inputs, outputs and messages; of the standby controller too, if said so. */
export const lossOfAll = ({ sensors, inputs, outputs, bus }: EngineConfiguration, standby = false): Loss => ({
  sensors: new Set(Object.keys(sensors ?? {})),
  inputs: new Set(Object.keys(inputs ?? {})),
  outputs: new Set(Object.keys(outputs ?? {})),
  held: new Set(),
  bus: bus !== undefined,
  controller: true,
  standby,
});

/** Everything that several losses take away. */
export function together(losses: readonly Loss[]): Loss {
  const all = (names: (loss: Loss) => ReadonlySet<string>) =>
    new Set(losses.flatMap((one) => [...names(one)]));
  return {
    sensors: all(({ sensors }) => sensors),
    inputs: all(({ inputs }) => inputs),
    outputs: all(({ outputs }) => outputs),
    held: all(({ held }) => held),
    bus: losses.some(({ bus }) => bus),
    controller: losses.some(({ controller }) => controller),
    standby: losses.some(({ standby }) => standby),
  };
}

/** What is left of an output if the wire from its driver fails: nothing, or a load that is always on. */
export function lossOfDrive(
  name: string,
  output: Output,
  fault: FaultKind,
  installation: Installation,
): Loss {
  const always =
    pinOfOutput(output, installation)?.side?.text === 'high' ? 'shorted_to_supply' : 'shorted_to_ground';
  return fault === always && canStayOn(output) ? lossOf({ held: [name] }) : lossOf({ outputs: [name] });
}

/**
 * Whether a shorted wire keeps the load doing what it does. A coil that is charged all the time gives no spark, and a servo or
 * valve does not move.
 */
function canStayOn({ drives }: Output): boolean {
  return drives?.text === 'injector' || drives?.text === 'light' || drives?.text === 'relay';
}

/** Without a controller file a driver is taken to switch the ground side (common practice, no source). */
const pinOfOutput = ({ pin }: Output, { controller }: Installation): Pin | undefined =>
  pin && controller?.pins?.[pin.text];
