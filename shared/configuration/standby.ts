import type { EngineConfiguration, Output, Sensor, StandbySection } from '../../generated/configuration.ts';
import { bareObject } from '../bare-object.ts';
import { memo } from '../memo.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { knownQuantities } from './known-quantities.ts';
import { type ListValue, nodesOf, rememberNodes, type TextValue } from './values.ts';

/**
 * The engine as the standby controller runs it: `held` is the configuration with what the standby controller holds
 * differently. It has only the sensors and outputs that this controller is wired to, on its own pins, the closed loops and
 * limits of what it knows from these sensors, and neither inputs, bus nor map sets.
 */
export function onStandby(held: EngineConfiguration, standby: StandbySection): EngineConfiguration {
  const { sensors, outputs } = held;
  const own: EngineConfiguration = Object.assign(bareObject(), held, {
    sensors: sensors && sensorsOn(sensors, standby.reads),
    outputs: outputs && outputsOn(outputs, standby.drives),
    controller: standby.controller,
  });
  if (own.closed_loop) own.closed_loop = loopsWith(own.closed_loop, own.sensors);
  for (const absent of ['inputs', 'bus', 'map_sets', 'standby'] as const) delete own[absent];
  if (own.protection) own.protection = limitsWith(own.protection, knownQuantities(own));
  return rememberNodes(own, nodesOf(held));
}

type Sensors = NonNullable<EngineConfiguration['sensors']>;
type Outputs = NonNullable<EngineConfiguration['outputs']>;
type Loops = NonNullable<EngineConfiguration['closed_loop']>;
type Limits = NonNullable<EngineConfiguration['protection']>;

const sensorsOn = memo(
  (sensors: Sensors, reads: StandbySection['reads']): Sensors => wired(sensors, reads, sensorOn),
);

const outputsOn = memo(
  (outputs: Outputs, drives: StandbySection['drives']): Outputs => wired(outputs, drives, outputOn),
);

/** The quantity that a closed loop needs if it names no sensor. */
const QUANTITIES = {
  lambda: 'lambda',
  exhaust_gas_temperature: 'exhaust_gas_temperature',
  knock: 'knock_intensity',
  fuel_pressure: 'fuel_pressure',
} as const satisfies Record<keyof Loops, string>;

/** The closed loops whose sensor is there. */
const loopsWith = memo((loops: Loops, sensors: Sensors | undefined): Loops => {
  const own: Loops = Object.assign(bareObject(), loops);
  const measured = new Set(
    Object.values(sensors ?? {}).map(
      ({ measures }) => measures && measuredQuantity(measures.text)?.entry.name,
    ),
  );
  for (const name of Object.keys(QUANTITIES) as (keyof Loops)[]) {
    const loop = loops[name];
    const sensor = loop && 'sensor' in loop ? loop.sensor?.text : undefined;
    const isThere =
      sensor === undefined ? measured.has(QUANTITIES[name]) : Object.hasOwn(sensors ?? {}, sensor);
    if (!isThere) delete own[name];
  }
  return rememberNodes(own, nodesOf(loops));
});

/** The limits on what is known; one that names no quantity is kept. */
const limitsWith = memo((limits: Limits, isKnown: (quantity: string) => boolean): Limits => {
  const own: Limits = Object.assign(bareObject(), limits);
  for (const [name, { watches }] of Object.entries(limits))
    if (watches && !isKnown(watches.text)) delete own[name];
  return rememberNodes(own, nodesOf(limits));
});

type Pins = TextValue | ListValue<TextValue>;

/** The members that have a pin of the standby controller, on that pin. */
function wired<Member extends object, Own extends Pins>(
  members: { readonly [name: string]: Member },
  pins: { readonly [name: string]: Own } | undefined,
  on: (member: Member, pins: Own) => Member,
): { [name: string]: Member } {
  const own = bareObject() as { [name: string]: Member };
  for (const [name, pin] of Object.entries(pins ?? {})) {
    const member = Object.hasOwn(members, name) ? members[name] : undefined;
    if (member) own[name] = on(member, pin);
  }
  return rememberNodes(own, nodesOf(pins ?? members));
}

const sensorOn = memo((sensor: Sensor, pin: TextValue): Sensor => moved(sensor, { pin }, ['heater_pin']));

const outputOn = memo(
  (output: Output, pins: Pins): Output =>
    pins.type === 'list'
      ? moved(output, { pins }, ['pin', 'feedback_pin'])
      : moved(output, { pin: pins }, ['pins', 'feedback_pin']),
);

/** A copy of a section with other pins, at the same place. */
function moved<Section extends object>(
  section: Section,
  pins: Partial<Section>,
  absent: readonly (keyof Section)[],
): Section {
  const copy: Section = Object.assign(bareObject(), section, pins);
  for (const key of absent) delete copy[key];
  return rememberNodes(copy, nodesOf(section));
}
