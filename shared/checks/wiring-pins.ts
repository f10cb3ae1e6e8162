import type { ControllerConfiguration, Pin } from '../../generated/configuration.ts';
import { channels, endNumberStart, nearestFreePin, type PinUse, pinUses } from '../configuration/pins.ts';
import { groupedBy } from '../grouped-by.ts';
import { replace } from '../source/edit.ts';
import { type Check, type EngineSubject, engineCheck, type Fix } from './check.ts';
import { listed } from './words.ts';

const words = (role: string): string => role.replaceAll('-', ' ');

const fitting = ({ roles }: Pick<PinUse, 'roles'>): string => `the role ${roles.join(' or ')}`;

/** Moves a use to the nearest pin of a fitting role that nothing uses. */
function moveToFreePin({ installation }: EngineSubject, use: PinUse): Fix[] {
  const { configuration, controller } = installation;
  const free = nearestFreePin(controller, configuration, use.roles, use.pin.text);
  if (free === undefined) return [];
  const role = words(controller!.pins![free]!.role!.text);
  return [
    {
      title: `Use ${free}, the nearest free ${role}`,
      safety: 'choice',
      edits: [replace(use.pin.node, free)],
    },
  ];
}

/** The pin as the controller file describes it. */
function pinAt({ installation }: EngineSubject, { pin }: PinUse): Pin | undefined {
  return installation.controller?.pins?.[pin.text];
}

/** Whether the connectors have a contact of this name, described or not; false where no connector is described. */
function isContact({ connectors }: ControllerConfiguration, pin: string): boolean {
  let start = endNumberStart(pin);
  while (pin[start] === '0') start++;
  const positions = start < pin.length ? connectors?.[pin.slice(0, start)]?.positions : undefined;
  return positions !== undefined && Number(pin.slice(start)) <= positions.canonical;
}

export const pinUnknown: Check = engineCheck({
  id: 'pin-unknown',
  severity: 'error',
  title: 'The controller has no such pin',
  page: {
    catches:
      'A pin that the controller file does not list. It is a warning where its connector has such a contact and the file does not say what it is.',
    why: 'The wire would end nowhere. The sensor reads nothing, or the injector never opens.',
    example:
      'outputs:\n  injector_1: { drives: injector, cylinder: 1, pin: C41 }   # the connector has 20 positions',
    remedy:
      'Write the pin that the wire goes to, or describe the pin in the controller file if it is missing there.',
    basis: 'The two files must agree.',
  },
  *find(subject) {
    const { configuration, controller } = subject.installation;
    if (!controller?.pins) return;
    for (const use of pinUses(configuration)) {
      const pin = use.pin.text;
      if (controller.pins[pin]) continue;
      const name = controller.name?.text;
      const there = isContact(controller, pin);
      const what = there
        ? `The file of ${name ?? 'the controller'} does not say what ${pin} is`
        : `${name ?? 'The controller'} has no pin ${pin}`;
      yield {
        at: use.pin.node,
        severity: there ? 'warning' : 'error',
        message: `${what}; ${use.label} needs ${fitting(use)}.`,
        fixes: moveToFreePin(subject, use),
      };
    }
  },
});

export const pinUsedTwice: Check = engineCheck({
  id: 'pin-used-twice',
  severity: 'error',
  title: 'Two things on one pin',
  page: {
    catches: 'A controller pin that two sensors, inputs or outputs name.',
    why: 'A pin is one circuit. Two sensors on one input read a mixture of both, and two loads on one driver switch together.',
    example:
      'outputs:\n  injector_1: { drives: injector, cylinder: 1, pin: C1 }\n  injector_2: { drives: injector, cylinder: 2, pin: C1 }',
    remedy:
      'Give each its own pin. Where one driver really opens the injectors of two cylinders, write one output with `cylinders`.',
    basis: 'A pin is one circuit.',
  },
  *find(subject) {
    const { path, installation } = subject;
    const own = ({ pin }: PinUse) => (pin.node.chunk.file === path ? 1 : 0);
    for (const [name, uses] of groupedBy(pinUses(installation.configuration), ({ pin }) => pin.text)) {
      // What this file writes is at fault, not the base that it is laid over.
      const [first, ...others] = uses.sort((a, b) => own(a) - own(b));
      for (const use of others) {
        yield {
          at: use.pin.node,
          message: `Pin ${name} is used by ${first!.label} and by ${use.label}.`,
          related: [{ at: first!.pin.node, message: `${first!.label} uses it here.` }],
          fixes: moveToFreePin(subject, use),
        };
      }
    }
  },
});

export const pinRoleMismatch: Check = engineCheck({
  id: 'pin-role-mismatch',
  severity: 'error',
  title: 'The pin is made for something else',
  page: {
    catches:
      'A sensor or load on a pin whose role does not fit: a thermocouple on an analog input, an injector on a light driver.',
    why: 'Behind each pin is a circuit made for one purpose. A thermocouple’s millivolts are lost in an input for volts, and a light driver is destroyed by an injector.',
    example: 'sensors:\n  egt_1: { kind: thermocouple, type: K, pin: A7 }   # A7 is an analog input',
    remedy: 'Take a pin of the right role, or correct the role in the controller file.',
    basis: 'The meaning of the roles. Which roles fit which load is common practice, no source.',
  },
  *find(subject) {
    for (const use of pinUses(subject.installation.configuration)) {
      const role = pinAt(subject, use)?.role;
      if (!role || use.roles.includes(role.text)) continue;
      yield {
        at: use.pin.node,
        message: `${use.pin.text} has the role ${role.text}; ${use.label} needs ${fitting(use)}.`,
        related: [{ at: role.node, message: 'The controller states the role of the pin.' }],
        fixes: moveToFreePin(subject, use),
      };
    }
  },
});

export const channelCountExceeded: Check = engineCheck({
  id: 'channel-count-exceeded',
  severity: 'error',
  title: 'More channels than the controller has',
  page: {
    catches: 'More sensors or loads of one sort than the controller has pins for them, wired or not yet.',
    why: 'A six-cylinder engine cannot be run sequentially on four injector drivers, whatever the wiring.',
    example:
      'outputs:\n  injector_5: { drives: injector, cylinder: 5 }   # the controller has four injector drivers',
    remedy: 'Use a controller with more channels, or let one driver serve two cylinders.',
    basis: 'The controller file lists every pin there is.',
  },
  *find({ installation: { configuration, controller } }) {
    if (!controller?.pins) return;
    const pins = Object.values(controller.pins);
    // A pin that is not described is a finding of its own, and may be of any role.
    const known = channels(configuration).filter(({ pin }) => !pin || controller.pins?.[pin.text]);
    const bySort = groupedBy(known, ({ roles }) => roles.join());
    for (const needed of bySort.values()) {
      const { roles } = needed[0]!;
      const there = pins.filter(({ role }) => role && roles.includes(role.text)).length;
      const tooMany = needed[there];
      if (!tooMany) continue;
      yield {
        at: tooMany.pin?.node ?? tooMany.node,
        message: `${needed.length} channels need a pin with ${fitting(tooMany)} and the controller has ${there}: ${listed(needed.map(({ label }) => label))}.`,
      };
    }
  },
});
