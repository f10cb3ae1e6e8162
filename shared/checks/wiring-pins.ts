import type { ControllerConfiguration, Pin } from '../../generated/configuration.ts';
import {
  type Channel,
  channels,
  endNumberStart,
  nearestFreePin,
  type PinUse,
  pinUses,
} from '../configuration/pins.ts';
import { groupedBy } from '../grouped-by.ts';
import { replace } from '../source/edit.ts';
import { type Check, type EngineSubject, engineCheck, type Fix } from './check.ts';
import { listOf, quote } from './form-words.ts';
import { listed } from './words.ts';

/** The role in words, as in a sentence: `injector driver`. */
const words = (role: string): string => role.replaceAll('-', ' ');

const fitting = ({ roles }: Pick<PinUse, 'roles'>): string => `the role ${listOf(roles.map(quote), 'or')}`;

/** `the heater of \`lambda\``: a label ends with the name of what is connected. */
const nameOfUse = ({ label, owner }: Channel): string =>
  label.slice(0, label.length - owner.length) + quote(owner);

/** Moves a use to the nearest free pin with a role that fits. */
function moveToFreePin({ installation }: EngineSubject, use: PinUse): Fix[] {
  const { configuration, controller } = installation;
  const free = nearestFreePin(controller, configuration, use.roles, use.pin.text);
  if (free === undefined) return [];
  const role = words(controller!.pins![free]!.role!.text);
  return [
    {
      title: `Change to ${quote(free)}, the nearest free ${role}`,
      safety: 'choice',
      edits: [replace(use.pin.node, free)],
    },
  ];
}

/** The role of the pin in the controller file, if it does not fit the use. */
function wrongRole({ installation }: EngineSubject, { pin, roles }: PinUse): Pin['role'] {
  const role = installation.controller?.pins?.[pin.text]?.role;
  return role && !roles.includes(role.text) ? role : undefined;
}

/** Whether the connectors have a pin of this name, described or not; false without a `connectors` section. */
function isContact({ connectors }: ControllerConfiguration, pin: string): boolean {
  let start = endNumberStart(pin);
  while (pin[start] === '0') start++;
  const positions = start < pin.length ? connectors?.[pin.slice(0, start)]?.positions : undefined;
  return positions !== undefined && Number(pin.slice(start)) <= positions.canonical;
}

export const pinUnknown: Check = engineCheck({
  id: 'pin-unknown',
  severity: 'error',
  title: 'Unknown pin',
  onStandby: true,
  page: {
    catches:
      'A pin that the controller file does not list. It is a warning if the connector has that position but the file does not describe it.',
    why: 'The wire has nowhere to go. The sensor gives no reading, or the injector never opens.',
    example:
      'outputs:\n  injector_1: { drives: injector, cylinder: 1, pin: C41 }   # the connector has 20 positions',
    remedy:
      'Write the pin that the wire goes to, or add the pin to the controller file if it is missing there.',
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
        ? `The controller file ${name ? `of ${quote(name)} ` : ''}does not describe pin ${quote(pin)}`
        : `${name ? quote(name) : 'The controller'} has no pin ${quote(pin)}`;
      yield {
        at: use.pin.node,
        severity: there ? 'warning' : 'error',
        message: `${what}; ${nameOfUse(use)} needs a pin with ${fitting(use)}.`,
        cause: use.pin.node,
        fixes: moveToFreePin(subject, use),
      };
    }
  },
});

export const pinUsedTwice: Check = engineCheck({
  id: 'pin-used-twice',
  severity: 'error',
  title: 'Pin used twice',
  onStandby: true,
  page: {
    catches: 'A pin of the controller that two sensors, inputs or outputs name.',
    why: 'A pin is one circuit. Two sensors on one input give a mixture of both readings, and two loads on one driver switch together.',
    example:
      'outputs:\n  injector_1: { drives: injector, cylinder: 1, pin: C1 }\n  injector_2: { drives: injector, cylinder: 2, pin: C1 }',
    remedy:
      'Give each its own pin. If one driver opens the injectors of two cylinders, write one output with `cylinders`.',
    basis: 'A pin is one circuit.',
  },
  *find(subject) {
    const { path, installation } = subject;
    const own = ({ pin }: PinUse) => (pin.node.chunk.file === path ? 1 : 0);
    const misfit = (use: PinUse) => (wrongRole(subject, use) ? 1 : 0);
    for (const [name, uses] of groupedBy(pinUses(installation.configuration), ({ pin }) => pin.text)) {
      // The file itself is at fault rather than its base file and, of two uses, the one whose role does not fit.
      const [first, ...others] = uses.sort((a, b) => own(a) - own(b) || misfit(a) - misfit(b));
      for (const use of others) {
        yield {
          at: use.pin.node,
          message: `Pin ${quote(name)} is used by ${nameOfUse(first!)} and by ${nameOfUse(use)}.`,
          related: [{ at: first!.pin.node, message: `The pin of ${nameOfUse(first!)}.` }],
          cause: use.pin.node,
          fixes: moveToFreePin(subject, use),
        };
      }
    }
  },
});

export const pinRoleMismatch: Check = engineCheck({
  id: 'pin-role-mismatch',
  severity: 'error',
  title: 'Wrong type of pin',
  onStandby: true,
  page: {
    catches:
      'A sensor or load on a pin whose role does not fit, such as a thermocouple on an analog input or an injector on a light driver.',
    why: 'The circuit behind each pin is made for one purpose. An analog input cannot resolve the millivolts of a thermocouple, and an injector destroys a light driver.',
    example: 'sensors:\n  egt_1: { kind: thermocouple, type: K, pin: A7 }   # A7 is an analog input',
    remedy: 'Use a pin with the right role, or correct the role in the controller file.',
    basis: 'The meaning of the roles. Which roles fit which load is common practice, no source.',
  },
  *find(subject) {
    for (const use of pinUses(subject.installation.configuration)) {
      const role = wrongRole(subject, use);
      if (!role) continue;
      yield {
        at: use.pin.node,
        message: `Pin ${quote(use.pin.text)} has the role ${quote(role.text)}, but ${nameOfUse(use)} needs a pin with ${fitting(use)}.`,
        related: [{ at: role.node, message: 'The role of the pin.' }],
        cause: use.pin.node,
        fixes: moveToFreePin(subject, use),
      };
    }
  },
});

export const channelCountExceeded: Check = engineCheck({
  id: 'channel-count-exceeded',
  severity: 'error',
  title: 'Too few pins on the controller',
  onStandby: true,
  page: {
    catches:
      'More sensors or loads of one type than the controller has pins for, whether they name a pin or not.',
    why: 'A six-cylinder engine cannot run sequentially with four injector drivers, whatever the wiring.',
    example:
      'outputs:\n  injector_5: { drives: injector, cylinder: 5 }   # the controller has four injector drivers',
    remedy: 'Use a controller with more pins of that role, or let one driver serve two cylinders.',
    basis: 'The controller file lists all pins.',
  },
  *find({ installation: { configuration, controller } }) {
    if (!controller?.pins) return;
    const pins = Object.values(controller.pins);
    // Another check reports a pin that is not described; it may have any role.
    const known = channels(configuration).filter(({ pin }) => !pin || controller.pins?.[pin.text]);
    const bySort = groupedBy(known, ({ roles }) => roles.join());
    for (const needed of bySort.values()) {
      const { roles } = needed[0]!;
      const there = pins.filter(({ role }) => role && roles.includes(role.text)).length;
      const tooMany = needed[there];
      if (!tooMany) continue;
      yield {
        at: tooMany.pin?.node ?? tooMany.node,
        message: `${listed(needed.map(nameOfUse))} ${needed.length === 1 ? 'needs a pin' : `need ${needed.length} pins`} with ${fitting(tooMany)}, but the controller has ${there === 0 ? 'none' : there}.`,
        cause: tooMany.pin?.node,
      };
    }
  },
});
