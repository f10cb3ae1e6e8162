import type { Installation } from '../../shared/configuration/installation.ts';
import { type PinUse, pinUses } from '../../shared/configuration/pins.ts';
import { controllerShape } from '../../shared/configuration/schemas.ts';
import { childShape, shapeAt } from '../../shared/configuration/shape.ts';
import { bold, code, lines, paragraphs, prose } from '../markdown.ts';

const pinShape = shapeAt(controllerShape, ['pins', '']);

/** The name of a pin's property within a sentence: `maximum current`. */
export const pinProperty = (key: string): string => childShape(pinShape, key)?.label?.toLowerCase() ?? key;

/** The role and limits of a controller pin, and everything of the engine that is wired to it. */
export function pinWords({ configuration, controller }: Installation, name: string): string {
  const pin = controller?.pins?.[name];
  const offered = Object.entries(pin ?? {}).map(
    ([key, value]) =>
      `${pinProperty(key)} ${code(value.node.chunk.text.slice(value.node.start, value.node.end))}`,
  );
  const users = pinUses(configuration).filter((use) => use.pin.text === name);
  return paragraphs(
    lines(bold(`Pin ${name}`), offered.join(', ') || unknownPin(controller !== undefined)),
    users.length > 0 ? `Used by ${users.map(userWords).join(', ')}.` : 'Not used.',
  );
}

function unknownPin(hasController: boolean): string {
  return hasController
    ? 'The controller file does not describe this pin.'
    : 'No controller file describes this pin.';
}

const userWords = ({ label, owner }: PinUse): string => (label === owner ? code(owner) : prose(label));
