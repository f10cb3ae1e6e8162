import type {
  ControllerConfiguration,
  EngineConfiguration,
  Output,
  Pin,
  Sensor,
} from '../../generated/configuration.ts';
import { memo } from '../memo.ts';
import type { Node, PathStep } from '../source/tree.ts';
import { sensorsOfFirst } from './known-quantities.ts';
import { nodeOf, type TextValue } from './values.ts';

export type PinRole = NonNullable<Pin['role']>['text'];

/** One part of the engine file that needs a pin of the controller. */
export interface Channel {
  /** The pin's name, as a node. */
  readonly pin: TextValue | undefined;
  /** The sensor, input or output that needs it. */
  readonly node: Node;
  /** Its name in that section. */
  readonly owner: string;
  /** Its description in messages: `the heater of lambda`. */
  readonly label: string;
  /** The suitable pin roles, the preferred one first. */
  readonly roles: readonly PinRole[];
}

type SensorKind = NonNullable<Sensor['kind']>['text'];
type Load = NonNullable<Output['drives']>['text'];

const sensorRoles: Readonly<Record<SensorKind, readonly PinRole[]>> = {
  ratiometric: ['analog-input'],
  linear: ['analog-input'],
  thermistor: ['temperature-input'],
  rtd: ['temperature-input'],
  thermocouple: ['thermocouple-input'],
  wideband: ['lambda-input'],
  knock: ['knock-input'],
  'toothed-wheel': ['pickup-input'],
  phase: ['pickup-input'],
  switch: ['switch-input'],
};

/**
 * A valve switches fast, which relay, servo and injector drivers can do; a light is a small load, like a relay coil.
 */
const loadRoles: Readonly<Record<Load, readonly PinRole[]>> = {
  injector: ['injector-driver'],
  ignition: ['ignition-driver'],
  'wastegate-servo': ['servo-driver'],
  'wastegate-valve': ['relay-driver', 'servo-driver', 'injector-driver'],
  light: ['light-driver', 'relay-driver'],
  relay: ['relay-driver'],
};

const heaterRoles: readonly PinRole[] = ['lambda-heater'];
const switchRoles: readonly PinRole[] = ['switch-input'];
const busRoles: readonly PinRole[] = ['bus'];
const feedbackRoles: readonly PinRole[] = ['analog-input'];

/** Undefined until the kind is written. */
function signalRoles({ kind, pull_up: pullUp }: Sensor): readonly PinRole[] | undefined {
  if (!kind) return undefined;
  const roles = sensorRoles[kind.text];
  // A resistive sensor with its own pull-up gives a voltage that any analog input can read.
  const isDivider = (kind.text === 'thermistor' || kind.text === 'rtd') && pullUp !== undefined;
  return isDivider ? [...roles, 'analog-input'] : roles;
}

const driverRoles = ({ drives }: Output): readonly PinRole[] | undefined => drives && loadRoles[drives.text];

/**
 * The suitable pin roles for a place such as `sensors.egt_1.pin`, the preferred one first; undefined until the file
 * says what is connected there.
 */
export function rolesAt(
  { sensors, outputs }: EngineConfiguration,
  [section, name = '', key]: readonly PathStep[],
): readonly PinRole[] | undefined {
  if (section === 'inputs') return switchRoles;
  if (section === 'bus') return busRoles;
  if (key === 'heater_pin') return heaterRoles;
  if (key === 'feedback_pin') return feedbackRoles;
  const sensor = section === 'sensors' ? sensors?.[name] : undefined;
  if (sensor) return signalRoles(sensor);
  const output = section === 'outputs' ? outputs?.[name] : undefined;
  return output && driverRoles(output);
}

/** A pin user whose pin is named. */
export interface PinUse extends Channel {
  readonly pin: TextValue;
}

/** Everything that needs a pin of the controller, in the order of the file. Incomplete entries are left out. */
export const channels = memo(
  ({ sensors, inputs, outputs, bus, standby }: EngineConfiguration): readonly Channel[] => [
    ...Object.entries(sensors ? sensorsOfFirst(sensors, standby) : {}).flatMap(([name, sensor]) =>
      sensorChannels(name, sensor),
    ),
    ...Object.entries(inputs ?? {}).map(([owner, input]) => ({
      pin: input.pin,
      node: nodeOf(input),
      owner,
      label: owner,
      roles: switchRoles,
    })),
    ...outputsOf(outputs ?? {}, positionPins(sensors)),
    ...(bus?.pins?.items ?? []).map((pin) => ({
      pin,
      node: nodeOf(bus!),
      owner: 'bus',
      label: 'the bus',
      roles: busRoles,
    })),
  ],
);

const outputsOf = (
  outputs: NonNullable<EngineConfiguration['outputs']>,
  positions: ReadonlySet<string>,
): Channel[] => Object.entries(outputs).flatMap(([name, output]) => outputChannels(name, output, positions));

/** The pins of the sensors that scale the position of a wastegate. */
const positionPins = (sensors: EngineConfiguration['sensors']): ReadonlySet<string> =>
  new Set(
    Object.values(sensors ?? {}).flatMap(({ measures, pin }) =>
      measures?.text === 'wastegate_position' && pin ? [pin.text] : [],
    ),
  );

export const pinUses = memo((configuration: EngineConfiguration): readonly PinUse[] =>
  channels(configuration).filter((channel): channel is PinUse => channel.pin !== undefined),
);

/** The names of the pins in use. */
const takenPins = memo(
  (configuration: EngineConfiguration): ReadonlySet<string> =>
    new Set(pinUses(configuration).map(({ pin }) => pin.text)),
);

function sensorChannels(owner: string, sensor: Sensor): Channel[] {
  const node = nodeOf(sensor);
  const { pin, heater_pin: heater } = sensor;
  const roles = signalRoles(sensor);
  const found: Channel[] = roles ? [{ pin, node, owner, label: owner, roles }] : [];
  if (heater) found.push({ pin: heater, node, owner, label: `the heater of ${owner}`, roles: heaterRoles });
  return found;
}

/** A feedback on a pin of `scaled` is the signal of the sensor there, and needs no pin of its own. */
function outputChannels(owner: string, output: Output, scaled: ReadonlySet<string>): Channel[] {
  const node = nodeOf(output);
  const written = [...(output.pin ? [output.pin] : []), ...(output.pins?.items ?? [])];
  const pins = written.length > 0 ? written : [undefined];
  const roles = driverRoles(output);
  const found: Channel[] = roles ? pins.map((pin) => ({ pin, node, owner, label: owner, roles })) : [];
  const { feedback_pin: feedback } = output;
  if (feedback && !scaled.has(feedback.text)) {
    found.push({ pin: feedback, node, owner, label: `the feedback of ${owner}`, roles: feedbackRoles });
  }
  return found;
}

/**
 * Where the digits at the end of a name begin. A regular expression would need quadratic time for a long run of digits
 * that is not at the end.
 */
export function endNumberStart(name: string): number {
  let start = name.length;
  while (start > 0 && /\d/.test(name[start - 1]!)) start--;
  return start;
}

/** `A7` split into its connector and its number. */
function positionOf(pin: string): { connector: string; position: number } {
  const [, connector = '', position = ''] = /^(\D*)(\d*)/.exec(pin) ?? [];
  return { connector: connector.toUpperCase(), position: Number(position) };
}

/** The unused pin with one of the roles that is nearest to `to`; pins of the same connector come first. */
export function nearestFreePin(
  controller: ControllerConfiguration | undefined,
  configuration: EngineConfiguration,
  roles: readonly PinRole[],
  to = '',
): string | undefined {
  const taken = takenPins(configuration);
  const from = positionOf(to);
  const rank = (name: string, role: PinRole): readonly number[] => {
    const { connector, position } = positionOf(name);
    const away = connector === from.connector ? 0 : 1;
    return [roles.indexOf(role), away, Math.abs(position - from.position), position];
  };
  const free = Object.entries(controller?.pins ?? {}).flatMap(([name, { role }]) =>
    role && roles.includes(role.text) && !taken.has(name) ? [{ name, rank: rank(name, role.text) }] : [],
  );
  return free.sort((a, b) => compare(a.rank, b.rank))[0]?.name;
}

function compare(a: readonly number[], b: readonly number[]): number {
  const index = a.findIndex((number, i) => number !== b[i]);
  return index < 0 ? 0 : a[index]! - b[index]!;
}
