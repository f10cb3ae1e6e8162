import {
  type CompletionItem,
  CompletionItemKind,
  InsertTextFormat,
  InsertTextMode,
} from 'vscode-languageserver';
import type { Analysis } from '../../../shared/analysis.ts';
import { PLACEHOLDER } from '../../../shared/configuration/bind.ts';
import type { Installation } from '../../../shared/configuration/installation.ts';
import { knownQuantities } from '../../../shared/configuration/known-quantities.ts';
import { type Sendable, type StarterMessage, starterMessages } from '../../../shared/conventions/starter.ts';
import { messagesOf } from '../../../shared/derived/bus-signals.ts';
import { measuredQuantities, measuredQuantity } from '../../../shared/quantity/index.ts';
import type { Editor } from '../../editor.ts';
import type { Cursor } from './cursor.ts';

/** The messages in which the convention of the bus sends what the sensors measure, each alone and all together. */
export function busMessages({ installation }: Analysis, cursor: Cursor, editor: Editor): CompletionItem[] {
  const [section, key, ...deeper] = cursor.path;
  const convention = installation?.configuration.bus?.convention?.text;
  if (!installation || !convention || section !== 'bus' || key !== 'messages' || deeper.length > 0) return [];
  if (cursor.isFlow || cursor.hasColon) return [];
  const taken = new Set(messagesOf(installation.configuration).map(({ message }) => message.id?.canonical));
  const messages = starterMessages(convention, sendables(installation), PLACEHOLDER).filter(
    ({ id, name }) => !taken.has(id) && !cursor.siblings.has(name),
  );
  const all = { name: `all ${messages.length} messages`, title: `for the sensors of this file`, messages };
  const each = messages.map((one) => ({ name: one.name, title: one.title, messages: [one] }));
  return [...(messages.length > 1 ? [all] : []), ...each].map(({ name, title, messages }, i) => ({
    label: name,
    kind: CompletionItemKind.Snippet,
    detail: title,
    sortText: `2${String(i).padStart(4, '0')}`,
    ...inserted(messages, editor),
  }));
}

function inserted(messages: readonly StarterMessage[], { snippets }: Editor): Partial<CompletionItem> {
  const text = messages
    .map(({ name, lines }) => [`${name}:`, ...lines.map((line) => `  ${line}`)].join('\n'))
    .join('\n');
  if (!snippets) return { insertText: text, insertTextMode: InsertTextMode.adjustIndentation };
  let stop = 0;
  const insertText = text
    .replaceAll(/[\\$}]/g, '\\$&')
    .replaceAll(PLACEHOLDER, () => `\${${++stop}:${PLACEHOLDER}}`);
  return {
    insertText,
    insertTextFormat: InsertTextFormat.Snippet,
    insertTextMode: InsertTextMode.adjustIndentation,
  };
}

/** Every quantity that a sensor measures, then those that the controller knows by itself. */
function sendables({ configuration }: Installation): Sendable[] {
  const measured = Object.values(configuration.sensors ?? {}).flatMap(({ measures, scaling }): Sendable[] => {
    const named = measures && measuredQuantity(measures.text);
    const stated = scaling?.points[0]?.to.reference;
    const reference = stated === 'absolute' ? 'abs' : stated === 'gauge' ? 'gauge' : undefined;
    return named ? [{ name: measures.text, quantity: named.entry.name, reference }] : [];
  });
  const isKnown = knownQuantities(configuration);
  const known = measuredQuantities
    .filter(({ name }) => isKnown(name))
    .map(({ name }) => ({ name, quantity: name }));
  return [...measured, ...known];
}
