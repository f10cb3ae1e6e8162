import type { Installation } from '../../shared/configuration/installation.ts';
import { pinUses } from '../../shared/configuration/pins.ts';
import { bold, code, lines, paragraphs, plain } from '../markdown.ts';

/** What the controller offers at a pin, and everything of the engine that is wired to it. */
export function pinWords({ configuration, controller }: Installation, name: string): string {
  const pin = controller?.pins?.[name];
  const offered = Object.entries(pin ?? {}).map(
    ([key, value]) =>
      `${plain(key.replaceAll('_', ' '))} ${code(value.node.chunk.text.slice(value.node.start, value.node.end))}`,
  );
  const users = pinUses(configuration).filter((use) => use.pin.text === name);
  return paragraphs(
    lines(bold(`Pin ${name}`), offered.join(', ') || noWord(controller !== undefined)),
    users.length > 0 ? `Used by ${users.map(({ label }) => plain(label)).join(', ')}.` : 'Nothing uses it.',
  );
}

function noWord(hasController: boolean): string {
  return hasController
    ? 'The controller file does not describe it.'
    : 'No controller file says what it offers.';
}
