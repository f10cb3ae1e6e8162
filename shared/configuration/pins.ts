import type { ControllerConfiguration, EngineConfiguration, Pin } from '../../generated/configuration.ts';
import type { TextValue } from './values.ts';

export type PinRole = NonNullable<Pin['role']>['text'];

/** One thing of the engine file that is connected to a pin of the controller. */
export interface PinUse {
  /** The pin's name, where it is written. */
  readonly pin: TextValue;
  readonly section: 'sensors' | 'inputs' | 'outputs';
  /** The name of what is connected, under its section. */
  readonly owner: string;
  /** What a reader calls it: `the heater of lambda`. */
  readonly label: string;
  /** Roles of a pin that will do, the one made for it first. */
  readonly roles: readonly PinRole[];
}

type SensorKind = NonNullable<NonNullable<EngineConfiguration['sensors']>[string]['kind']>['text'];
type Load = NonNullable<NonNullable<EngineConfiguration['outputs']>[string]['drives']>['text'];

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

/** A valve is switched fast, which relay, servo and injector drivers all can; a light is a small load like a relay's. */
const loadRoles: Readonly<Record<Load, readonly PinRole[]>> = {
  injector: ['injector-driver'],
  ignition: ['ignition-driver'],
  'wastegate-servo': ['servo-driver'],
  'wastegate-valve': ['relay-driver', 'servo-driver', 'injector-driver'],
  light: ['light-driver', 'relay-driver'],
  relay: ['relay-driver'],
};

/** Everything that is connected to the controller, in the order of the file. */
export function pinUses({ sensors, inputs, outputs }: EngineConfiguration): PinUse[] {
  const uses: PinUse[] = [];
  const use = (
    section: PinUse['section'],
    owner: string,
    label: string,
    pin: TextValue | undefined,
    roles: readonly PinRole[] | undefined,
  ) => {
    if (pin && roles) uses.push({ pin, section, owner, label, roles });
  };
  for (const [name, sensor] of Object.entries(sensors ?? {})) {
    const kind = sensor.kind?.text;
    const roles = kind && sensorRoles[kind];
    // With a pull-up of its own a resistive sensor makes a voltage that any analog input can read.
    const divider = (kind === 'thermistor' || kind === 'rtd') && sensor.pull_up !== undefined;
    use('sensors', name, name, sensor.pin, divider ? [...roles!, 'analog-input'] : roles);
    use('sensors', name, `the heater of ${name}`, sensor.heater_pin, ['lambda-heater']);
  }
  for (const [name, input] of Object.entries(inputs ?? {}))
    use('inputs', name, name, input.pin, ['switch-input']);
  for (const [name, output] of Object.entries(outputs ?? {})) {
    const roles = output.drives && loadRoles[output.drives.text];
    for (const pin of [output.pin, ...(output.pins?.items ?? [])]) use('outputs', name, name, pin, roles);
    use('outputs', name, `the feedback of ${name}`, output.feedback_pin, ['analog-input']);
  }
  return uses;
}

/** `A7` taken apart. */
function positionOf(pin: string): { connector: string; position: number } {
  const [, connector = '', position = ''] = /^(\D*)(\d*)/.exec(pin) ?? [];
  return { connector: connector.toUpperCase(), position: Number(position) };
}

/** The pin of one of the roles that nothing uses and that stands nearest to `to`, on its own connector first. */
export function nearestFreePin(
  controller: ControllerConfiguration | undefined,
  uses: readonly PinUse[],
  roles: readonly PinRole[],
  to = '',
): string | undefined {
  const taken = new Set(uses.map(({ pin }) => pin.text));
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
