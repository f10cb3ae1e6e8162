import type {
  ControllerConfiguration,
  EngineConfiguration,
  Output,
  Sensor,
} from '../../generated/configuration.ts';
import { memo } from '../memo.ts';
import type { Node } from '../source/tree.ts';
import { type ListValue, nodeOf, type TextValue } from './values.ts';

/** A place to which a conductor can be connected. */
export interface Terminal {
  /** `sensors.manifold_pressure.signal` */
  readonly path: string;
  readonly section: 'sensors' | 'inputs' | 'outputs' | 'devices';
  readonly owner: string;
  readonly name: string;
  /** The sensor, input, output or device. */
  readonly node: Node;
  /** The controller pin that the section of the owner states for this terminal. */
  readonly pin: TextValue | undefined;
  /** Whether it may be left out without a word: a supply that some sensors of the kind have and others have not. */
  readonly isOptional: boolean;
}

/** Every terminal of the sensors, inputs, outputs and devices, in the order of the file. */
export const terminalsOf = memo(
  ({ sensors, inputs, outputs, devices }: EngineConfiguration): readonly Terminal[] => [
    ...Object.entries(sensors ?? {}).flatMap(([name, sensor]) =>
      terminalsIn('sensors', name, nodeOf(sensor), terminalsOfSensor(sensor)),
    ),
    ...Object.entries(inputs ?? {}).flatMap(([name, input]) =>
      terminalsIn('inputs', name, nodeOf(input), [{ name: 'signal', pin: input.pin }, { name: 'ground' }]),
    ),
    ...Object.entries(outputs ?? {}).flatMap(([name, output]) =>
      terminalsIn('outputs', name, nodeOf(output), terminalsOfOutput(output)),
    ),
    ...Object.entries(devices ?? {}).flatMap(([name, device]) =>
      terminalsIn(
        'devices',
        name,
        nodeOf(device),
        (device.terminals?.items ?? []).map(({ text }) => ({ name: text })),
      ),
    ),
  ],
);

interface OwnTerminal {
  readonly name: string;
  readonly pin?: TextValue | undefined;
  readonly isOptional?: boolean;
}

const terminalsIn = (
  section: Terminal['section'],
  owner: string,
  node: Node,
  own: readonly OwnTerminal[],
): Terminal[] =>
  own.map(({ name, pin, isOptional = false }) => ({
    ...{ path: `${section}.${owner}.${name}`, section, owner, name, node, pin, isOptional },
  }));

/** The terminals by kind of sensor (common practice, no source). */
function terminalsOfSensor({ kind, pin, heater_pin: heater, supply, pickup }: Sensor): OwnTerminal[] {
  const signal = { name: 'signal', pin };
  const ground = { name: 'ground' };
  switch (kind?.text) {
    case 'ratiometric':
      return [signal, { name: 'supply' }, ground];
    case 'linear':
      return [signal, { name: 'supply', isOptional: supply === undefined }, ground];
    case 'thermistor':
    case 'rtd':
    case 'knock':
    case 'switch':
      return [signal, ground];
    case 'thermocouple':
      return [{ name: 'positive', pin }, { name: 'negative' }];
    case 'wideband':
      return [
        { name: 'pump' },
        { name: 'nernst' },
        ground,
        { name: 'heater_supply' },
        { name: 'heater', pin: heater },
      ];
    case 'toothed-wheel':
    case 'phase': {
      const isActive = pickup && !['variable-reluctance', 'inductive'].includes(pickup.text);
      return [signal, ...(isActive || !pickup ? [{ name: 'supply', isOptional: !pickup }] : []), ground];
    }
    default:
      return [];
  }
}

function terminalsOfOutput({ drives, pin, pins, feedback_pin: feedback }: Output): OwnTerminal[] {
  if (!drives) return [];
  const [first = pin, second] = pins?.items ?? [];
  if (drives.text !== 'wastegate-servo') return [{ name: 'supply' }, { name: 'drive', pin: first }];
  const position = [{ name: 'position', pin: feedback }, { name: 'supply' }, { name: 'ground' }];
  return [
    { name: 'motor_a', pin: first },
    { name: 'motor_b', pin: second },
    ...position.map((one) => ({ ...one, isOptional: feedback === undefined })),
  ];
}

/** The items of a value that is one text or a list of texts. */
export const textsOf = (value: TextValue | ListValue<TextValue> | undefined): readonly TextValue[] =>
  value === undefined ? [] : value.type === 'list' ? value.items : [value];

/** `controller.A7` → `A7`; undefined for any other end. */
export const pinOfEnd = (end: string): string | undefined =>
  end.startsWith('controller.') ? end.slice('controller.'.length) : undefined;

/** `standby.B3` → `B3`, a pin of the standby controller; undefined for any other end. */
export const standbyPinOfEnd = (end: string): string | undefined =>
  end.startsWith('standby.') ? end.slice('standby.'.length) : undefined;

/** Whether an end belongs to the aircraft: a terminal of a device, or its supply or ground. It takes any number of conductors. */
export const isOfAircraft = (end: string): boolean =>
  end === 'supply' || end === 'ground' || end.startsWith('devices.');

/** Whether an end of a circuit exists: a terminal, a pin, a splice, or a position of a connector of the harness. */
export function endsThatExist(
  configuration: EngineConfiguration,
  controller: ControllerConfiguration | undefined,
  standby: ControllerConfiguration | undefined,
): (end: string) => boolean {
  const known = new Set(terminalsOf(configuration).map(({ path }) => path));
  for (const name of Object.keys(configuration.harness?.splices ?? {})) known.add(`splices.${name}`);
  const isPosition = positionsThatExist(configuration);
  return (end) => {
    const pin = pinOfEnd(end);
    if (pin !== undefined) return !controller?.pins || Object.hasOwn(controller.pins, pin);
    const second = standbyPinOfEnd(end);
    if (second !== undefined)
      return configuration.standby !== undefined && (!standby?.pins || Object.hasOwn(standby.pins, second));
    return end === 'supply' || end === 'ground' || known.has(end) || isPosition(end);
  };
}

/** Whether `bulkhead.12` is a position of a connector of the harness. */
export function positionsThatExist({ harness }: EngineConfiguration): (place: string) => boolean {
  const connectors = harness?.connectors ?? {};
  return (place) => {
    const dot = place.lastIndexOf('.');
    const [name, position] = [place.slice(0, dot), Number(place.slice(dot + 1))];
    if (dot < 1 || !Object.hasOwn(connectors, name) || !Number.isInteger(position) || position < 1)
      return false;
    const positions = connectors[name]!.positions;
    return positions === undefined || position <= positions.canonical;
  };
}
