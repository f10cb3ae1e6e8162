import type { EngineConfiguration } from '../../generated/configuration.ts';
import { isOfAircraft } from '../configuration/terminals.ts';
import type { TextValue } from '../configuration/values.ts';
import { nodeOf } from '../configuration/values.ts';
import { circuitsOf, type NamedCircuit, netsOf } from '../derived/circuits.ts';
import { replace } from '../source/edit.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { listed } from './words.ts';

export const thermocoupleWireWrong: Check = engineCheck({
  id: 'thermocouple-wire-wrong',
  severity: 'error',
  title: 'Wrong wire for thermocouple',
  page: {
    catches:
      'A circuit between a thermocouple and the controller whose `material` is not the type of the thermocouple, and a connector on the way with contacts of another material (a warning). If the materials are not stated, that is information. Thermocouple wire on any other circuit is a warning.',
    why: 'Where thermocouple wire ends at copper, a second junction measures the temperature there. If that place is 40 K warmer than the controller, the exhaust reads 40 K too low.',
    example:
      'sensors:\n  egt_1: { kind: thermocouple, type: K, ... }\nharness:\n  circuits:\n    egt_positive: { from: controller.B3, to: sensors.egt_1.positive, material: copper }',
    remedy:
      'Use thermocouple or extension wire of the same type up to the controller, and contacts of the same alloys in every connector on the way.',
    basis: 'IEC 60584-3: extension and compensating cables (from memory); the law of intermediate metals.',
  },
  *find({ installation: { configuration } }) {
    const types = thermocoupleCircuits(configuration);
    for (const one of circuitsOf(configuration)) {
      const thermocouple = types.get(one);
      if (thermocouple) yield* judged(configuration, one, thermocouple);
      else if (one.circuit.material && one.circuit.material.text !== COPPER)
        yield {
          at: one.circuit.material.node,
          severity: 'warning',
          message: `${quote(one.name)} has wire for thermocouples of type ${one.circuit.material.text}, but goes to none; its resistance is many times that of copper.`,
        };
    }
  },
});

const COPPER = 'copper';

interface Thermocouple {
  readonly name: string;
  readonly type: TextValue;
}

/**
 * The circuits on the way from a thermocouple to the controller. What is connected with it but leads only to other parts, such as
 * their ground from a splice that they share, is not on it.
 */
function thermocoupleCircuits(configuration: EngineConfiguration): Map<NamedCircuit, Thermocouple> {
  const circuits = circuitsOf(configuration);
  const nets = netsOf(circuits);
  const found = new Map<NamedCircuit, Thermocouple>();
  for (const [name, { kind, type }] of Object.entries(configuration.sensors ?? {})) {
    if (kind?.text !== 'thermocouple' || !type) continue;
    const own = ['positive', 'negative'].map((end) => `sensors.${name}.${end}`);
    const connected = new Set(own.flatMap((end) => nets.with(end)).filter((end) => !isOfAircraft(end)));
    for (const one of circuits) {
      const ends = one.ends.map(({ text }) => text);
      const isOnWay = ends.some((end) => own.includes(end)) || ends.filter(isOnTheWay).length > 1;
      if (isOnWay && ends.some((end) => connected.has(end))) found.set(one, { name, type });
    }
  }
  return found;
}

const isOnTheWay = (end: string): boolean => !/^(sensors|inputs|outputs|devices)\./.test(end);

function* judged(
  { harness }: EngineConfiguration,
  { name, circuit, via }: NamedCircuit,
  thermocouple: Thermocouple,
): Iterable<Found> {
  const { material } = circuit;
  const type = thermocouple.type.text;
  const related = [{ at: thermocouple.type.node, message: `The type of ${quote(thermocouple.name)}.` }];
  if (material && material.text !== type)
    yield {
      at: material.node,
      message: `${quote(name)} is of ${materialText(material.text)}, but ${quote(thermocouple.name)} is of type ${type}: part or all of the temperature difference between the two ends of this wire goes into the reading as an error.`,
      related,
      fixes: [{ title: `Change to ${type}`, safety: 'choice', edits: [replace(material.node, type)] }],
    };
  const open = material ? [] : ['the wire'];
  for (const { text, node } of via) {
    const connector = text.slice(0, text.lastIndexOf('.'));
    const contact = harness?.connectors?.[connector]?.contact?.material;
    if (!contact) open.push(`the contacts of ${quote(connector)}`);
    else if (contact.text !== type)
      yield {
        at: node,
        severity: 'warning',
        message: `The contacts of ${quote(connector)} are of ${materialText(contact.text)}, but ${quote(thermocouple.name)} is of type ${type}: part or all of the temperature difference across the connector goes into the reading as an error.`,
        related: [...related, { at: contact.node, message: 'The material of the contacts.' }],
      };
  }
  if (open.length > 0)
    yield {
      at: keyNode(nodeOf(circuit)),
      severity: 'information',
      message: `\`material\` does not say whether ${listed(open)} of ${quote(name)} ${open.length === 1 && open[0] === 'the wire' ? 'is' : 'are'} of type ${type}, like ${quote(thermocouple.name)}.`,
    };
}

const materialText = (material: string): string =>
  material === COPPER ? 'copper' : `thermocouple material of type ${material}`;
