import type { EngineConfiguration } from '../../generated/configuration.ts';
import {
  endsThatExist,
  isOfAircraft,
  pinOfEnd,
  positionsThatExist,
  terminalsOf,
  textsOf,
} from '../configuration/terminals.ts';
import type { TextValue } from '../configuration/values.ts';
import { circuitsOf, netsOf, placesOf } from '../derived/circuits.ts';
import { groupedBy } from '../grouped-by.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, engineCheck } from './check.ts';
import { listOf, quote } from './form-words.ts';
import { nearestName } from './protection-names.ts';
import { listed } from './words.ts';

/** Every text that names an end: those of circuits, of shields, and those that are left open. */
const namedEnds = (configuration: EngineConfiguration): readonly TextValue[] => [
  ...circuitsOf(configuration).flatMap(({ ends }) => ends),
  ...Object.values(configuration.harness?.shields ?? {}).flatMap(({ grounded_at: at }) => textsOf(at)),
  ...(configuration.harness?.open?.items ?? []),
];

export const circuitEndUnknown: Check = engineCheck({
  id: 'circuit-end-unknown',
  severity: 'error',
  title: 'Unknown end of circuit',
  page: {
    catches:
      'A circuit, a shield or an entry under `open` that names a terminal, pin, splice, shield or connector position that does not exist.',
    why: 'The installer cannot connect the conductor, and the terminal that is meant stays without one.',
    example:
      'harness:\n  circuits:\n    map_signal: { from: controller.A7, to: sensors.manifold_pressure.sgnal }   # signal',
    remedy:
      'Use a terminal that this kind of part has: a ratiometric sensor has `signal`, `supply` and `ground`, a light `supply` and `drive`.',
    basis: 'The file contradicts itself. Which terminals a kind has is common practice, no source.',
  },
  *find({ path, installation: { configuration, controller, standby } }) {
    const { harness } = configuration;
    const exists = endsThatExist(configuration, controller, standby?.controller);
    const isPosition = positionsThatExist(configuration);
    const known = [
      ...terminalsOf(configuration).map((one) => one.path),
      ...Object.keys(controller?.pins ?? {}).map((pin) => `controller.${pin}`),
      ...Object.keys(harness?.splices ?? {}).map((name) => `splices.${name}`),
    ];
    for (const { text, node } of namedEnds(configuration)) {
      if (exists(text) || node.chunk.file !== path) continue;
      yield { at: node, message: `${quote(text)} does not exist.`, fixes: nearestName(node, known) };
    }
    for (const { circuit, via } of circuitsOf(configuration)) {
      for (const { text, node } of via) {
        if (isPosition(text)) continue;
        yield { at: node, message: `${quote(text)} is not a position of a connector under \`connectors\`.` };
      }
      const shield = circuit.shield;
      if (!shield || Object.hasOwn(harness?.shields ?? {}, shield.text)) continue;
      const fixes = nearestName(shield.node, Object.keys(harness?.shields ?? {}));
      yield { at: shield.node, message: `No shield has the name ${quote(shield.text)}.`, fixes };
    }
  },
});

export const terminalUnwired: Check = engineCheck({
  id: 'terminal-unwired',
  severity: 'warning',
  title: 'Terminal without circuit',
  page: {
    catches:
      'In a file with `harness.circuits`, a terminal of a sensor, input, output or device that is on no circuit and not listed under `harness.open`.',
    why: 'An installer wires what is listed. A sensor without its ground reads nothing, and nobody sees in the list that a wire is missing.',
    example:
      'harness:\n  circuits:\n    map_signal: { from: controller.A7, to: sensors.manifold_pressure.signal }   # no supply and no ground',
    remedy: 'Add the circuit, or list the terminal under `harness.open` if it stays unconnected on purpose.',
    basis: 'Which terminals a kind has is common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    const { harness } = configuration;
    if (!harness?.circuits) return;
    const wired = new Set(namedEnds(configuration).map(({ text }) => text));
    const missing = terminalsOf(configuration).filter(
      ({ path, isOptional }) => !isOptional && !wired.has(path),
    );
    for (const terminals of groupedBy(missing, ({ node }) => node).values()) {
      const { owner, node } = terminals[0]!;
      const names = listOf(
        terminals.map(({ name }) => quote(name)),
        'or',
      );
      yield {
        at: keyNode(node),
        message: `No circuit goes to ${names} of ${quote(owner)}.`,
      };
    }
  },
});

/** Whether an end takes any number of conductors: a stud, as a battery has. A contact of an instrument or relay takes one. */
function isStud(end: string, { devices }: EngineConfiguration): boolean {
  const [section, name = ''] = end.split('.');
  const kind = section === 'devices' ? devices?.[name]?.kind?.text : undefined;
  return isOfAircraft(end) && (kind === undefined || kind === 'other');
}

export const terminalWiredTwice: Check = engineCheck({
  id: 'terminal-wired-twice',
  severity: 'error',
  title: 'Terminal on two circuits',
  page: {
    catches:
      'A terminal, controller pin or connector position that two circuits name, or a terminal that is on a circuit and listed under `open`. Devices of the kind `other` are left out: a stud takes several conductors.',
    why: 'A contact takes one conductor. The installer finds no place for the second, or joins circuits that must be apart.',
    example:
      'harness:\n  circuits:\n    map_5v: { from: controller.A20, to: sensors.manifold_pressure.supply }\n    oil_5v: { from: controller.A20, to: sensors.oil_pressure.supply }',
    remedy: 'List both ends under `to` of one circuit, or join the conductors in a splice.',
    basis: 'A contact takes one conductor (common practice, no source).',
  },
  *find({ installation: { configuration } }) {
    const places = circuitsOf(configuration).flatMap(({ name, ends, via }) =>
      [...ends, ...via].map((place) => ({ name, place })),
    );
    const ofOneConductor = places.filter(
      ({ place }) => !isStud(place.text, configuration) && !place.text.startsWith('splices.'),
    );
    const open = new Map((configuration.harness?.open?.items ?? []).map((one) => [one.text, one]));
    for (const [text, uses] of groupedBy(ofOneConductor, ({ place }) => place.text)) {
      const [first, ...others] = uses;
      const related = [{ at: first!.place.node, message: `The circuit ${quote(first!.name)}.` }];
      for (const { name, place } of others) {
        const message = `${quote(text)} is on the circuits ${quote(first!.name)} and ${quote(name)}.`;
        yield { at: place.node, message, related };
      }
      const left = open.get(text);
      if (left)
        yield {
          at: left.node,
          message: `${quote(text)} is listed under \`harness.open\`, but circuit ${quote(first!.name)} goes to it.`,
          related,
        };
    }
  },
});

export const circuitDiffersFromPin: Check = engineCheck({
  id: 'circuit-differs-from-pin',
  severity: 'error',
  title: 'Circuit goes to another pin',
  page: {
    catches:
      'A terminal whose circuit does not lead to the controller pin that its sensor, input or output states.',
    why: 'The controller reads the sensor at one pin, and the installer connects it to another.',
    example:
      'sensors:\n  manifold_pressure: { ..., pin: A7 }\nharness:\n  circuits:\n    map_signal: { from: controller.A8, to: sensors.manifold_pressure.signal }',
    remedy: 'Correct the pin or the circuit.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration } }) {
    const circuits = circuitsOf(configuration);
    const nets = netsOf(circuits);
    const placeOf = placesOf(circuits);
    for (const { path, pin } of terminalsOf(configuration)) {
      const place = placeOf.get(path);
      const connected = nets.with(path).flatMap((end) => pinOfEnd(end) ?? []);
      if (!pin || !place || connected.length === 0 || connected.includes(pin.text)) continue;
      yield {
        at: place.node,
        message: `This circuit goes to pin ${listed(connected.map(quote))}, but ${quote(path)} is at pin ${quote(pin.text)}.`,
        related: [{ at: pin.node, message: 'The pin.' }],
        cause: pin.node,
      };
    }
  },
});

/** The roles of a controller pin that fit a terminal, by its name; another check judges terminals whose pin is stated. */
const FITTING: Readonly<Record<string, readonly string[]>> = {
  supply: ['sensor-supply', 'supply'],
  ground: ['sensor-ground', 'ground'],
  negative: ['thermocouple-input', 'sensor-ground'],
  pump: ['lambda-input'],
  nernst: ['lambda-input'],
};

export const circuitRoleMismatch: Check = engineCheck({
  id: 'circuit-role-mismatch',
  severity: 'error',
  title: 'Circuit on wrong type of pin',
  page: {
    catches:
      'A supply, ground or return of a sensor, input or output whose circuit leads to a controller pin with another role.',
    why: 'A sensor whose supply is wired to an input has no supply, and a ground that is wired to a driver carries the driver’s current.',
    example:
      'harness:\n  circuits:\n    map_ground: { from: controller.A7, to: sensors.manifold_pressure.ground }   # A7 is an analog input',
    remedy:
      'Use a pin with the role `sensor-supply` or `sensor-ground`, or correct the role in the controller file.',
    basis: 'The meaning of the roles. Which roles fit which terminal is common practice, no source.',
  },
  *find({ installation: { configuration, controller } }) {
    const circuits = circuitsOf(configuration);
    const nets = netsOf(circuits);
    const placeOf = placesOf(circuits);
    for (const { path, name, pin: stated } of terminalsOf(configuration)) {
      const [place, fitting] = [placeOf.get(path), FITTING[name]];
      if (!place || !fitting || stated) continue;
      for (const end of nets.with(path)) {
        const pin = pinOfEnd(end);
        const role = pin === undefined ? undefined : controller?.pins?.[pin]?.role;
        if (pin === undefined || !role || fitting.includes(role.text)) continue;
        yield {
          at: place.node,
          message: `${quote(path)} is on a circuit with pin ${quote(pin)}, which has the role ${quote(role.text)}; it needs ${listOf(fitting.map(quote), 'or')}.`,
          related: [{ at: role.node, message: 'The role of the pin.' }],
        };
      }
    }
  },
});

/** The thinnest wire (AWG) of each size of contact, whose number is the thickest. SAE AS39029, from memory. */
const THINNEST: ReadonlyMap<number, number> = new Map([
  [22, 28],
  [20, 24],
  [16, 20],
  [12, 14],
]);

/** How many sizes less a contact of any other size takes. Common practice, no source. */
const SIZES_LESS = 4;

export const contactMisfit: Check = engineCheck({
  id: 'contact-misfit',
  severity: 'warning',
  title: 'Wire does not fit contact',
  page: {
    catches: 'A circuit through a connector whose contacts are too small or too large for the wire.',
    why: 'A wire that is too thick does not go into the crimp barrel; one that is too thin pulls out of it.',
    example:
      'harness:\n  connectors: { bulkhead: { positions: 24, contact: { gauge: 20 AWG } } }\n  circuits:\n    pump: { from: ..., to: ..., via: [bulkhead.3], gauge: 14 AWG }',
    remedy: 'Use a wire or a contact of a fitting size.',
    basis:
      'Contacts of SAE AS39029 (size 22 for 22 to 28 AWG, size 20 for 20 to 24, size 16 for 16 to 20, size 12 for 12 and 14), from memory. Others take up to four sizes less: common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    const connectors = configuration.harness?.connectors ?? {};
    for (const { circuit, via } of circuitsOf(configuration)) {
      for (const { text, node } of via) {
        const connector = text.slice(0, text.lastIndexOf('.'));
        const contact = Object.hasOwn(connectors, connector)
          ? connectors[connector]!.contact?.gauge
          : undefined;
        if (!contact || !circuit.gauge) continue;
        const { canonical: thickest } = contact;
        const thinnest = THINNEST.get(thickest) ?? thickest + SIZES_LESS;
        const size = circuit.gauge.canonical;
        if (size >= thickest && size <= thinnest) continue;
        const how = size < thickest ? 'too thick' : 'too thin';
        yield {
          at: circuit.gauge.node,
          message: `A wire of ${circuit.gauge.node.text} is ${how} for the contacts of ${quote(connector)}, which are for ${contact.node.text}.`,
          related: [
            { at: node, message: 'The position.' },
            { at: contact.node, message: 'The size of the contacts.' },
          ],
        };
      }
    }
  },
});

export const colourRepeatedInShield: Check = engineCheck({
  id: 'colour-repeated-in-shield',
  severity: 'warning',
  title: 'Same colour twice in one shield',
  page: {
    catches: 'Two circuits of the same colour in one shield.',
    why: 'The conductors of one cable can only be told apart by their colours, and an installer may swap them.',
    example:
      'harness:\n  circuits:\n    knock_signal: { from: ..., to: ..., shield: s1, colour: white }\n    knock_ground: { from: ..., to: ..., shield: s1, colour: white }',
    remedy: 'Use a cable with conductors of different colours, such as white and white-blue.',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    const coloured = circuitsOf(configuration).filter(({ circuit }) => circuit.shield && circuit.colour);
    const keyOfCable = ({ circuit }: (typeof coloured)[number]) =>
      `${circuit.shield!.text}\n${circuit.colour!.text}`;
    for (const [first, ...others] of groupedBy(coloured, keyOfCable).values()) {
      for (const { circuit } of others) {
        yield {
          at: circuit.colour!.node,
          message: `${quote(first!.name)} in the same shield is ${circuit.colour!.text} too.`,
          related: [{ at: first!.circuit.colour!.node, message: `The circuit ${quote(first!.name)}.` }],
        };
      }
    }
  },
});

export const shieldGroundedTwice: Check = engineCheck({
  id: 'shield-grounded-twice',
  severity: 'warning',
  title: 'Shield grounded more than once',
  page: {
    catches: 'A shield that is grounded at more than one terminal.',
    why: 'With two grounds, a shield carries the current between them and couples it into the signal that it should protect.',
    example: 'harness:\n  shields:\n    s1: { grounded_at: [controller.A19, sensors.knock.ground] }',
    remedy: 'Ground the shield at the controller only.',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    for (const { grounded_at: at } of Object.values(configuration.harness?.shields ?? {})) {
      const [, ...others] = textsOf(at);
      for (const { node } of others)
        yield {
          at: node,
          message: 'The shield is grounded at more than one point; ground it at the controller only.',
        };
    }
  },
});
