import type { BusSignal } from '../../../generated/configuration.ts';
import { isFloat, messagesOf, signalsOf } from '../../../shared/derived/bus-signals.ts';
import { isStatus, statesOf } from '../../../shared/derived/bus-states.ts';
import { type Html, html } from '../../html.ts';
import type { ChapterMaker } from './dossier.ts';
import { writtenText } from './written.ts';

/** The bus messages, for connecting a display or a recorder. */
export const busChapter: ChapterMaker = ({ analysis: { installation } }) => {
  const { configuration } = installation;
  const messages = messagesOf(configuration);
  if (messages.length === 0) return undefined;
  const parts = messages.map(({ name, message }) => {
    const rows = signalsOf(message).map(
      ({ name: quantity, signal }) => html`<tr><th scope="row">${quantity}</th>
<td>${writtenText(signal.start_bit)}</td><td>${writtenText(signal.bits)}</td>
<td>${writtenText(signal.byte_order) || 'little'}</td><td>${isFloat(signal) ? 'float' : signal.signed?.flag ? 'signed' : 'unsigned'}</td>
${
  isStatus(signal)
    ? statusCell(signal)
    : html`<td>${writtenText(signal.scale)}</td><td>${writtenText(signal.offset) || '0'}</td>
<td>${writtenText(signal.range)}</td>`
}</tr>\n`,
    );
    const identifier = message.extended?.flag ? '29-bit identifier' : '11-bit identifier';
    const every = message.every ? `every ${writtenText(message.every)}` : 'no period stated';
    const { node_id: node, type } = message.header ?? {};
    const header = message.header ? `, header: node ${writtenText(node)}, ${writtenText(type)}` : '';
    return html`<h3>${name}</h3>
<p>${identifier} ${writtenText(message.id)}, ${writtenText(message.length)}, ${every}${header}</p>
<div class="wide"><table class="list"><thead><tr><th scope="col">Signal</th><th scope="col">Start bit</th>
<th scope="col">Bits</th><th scope="col">Byte order</th><th scope="col">Sign</th><th scope="col">Scale</th>
<th scope="col">Offset</th><th scope="col">Range</th></tr></thead><tbody>${rows}</tbody></table></div>`;
  });
  const rate = writtenText(configuration.bus?.bitrate);
  const convention = writtenText(configuration.bus?.convention) || 'none';
  return {
    id: 'bus',
    title: 'Bus',
    body: html`<p>Bit rate: ${rate || 'not stated'}. Convention: ${convention}.</p>${parts}`,
  };
};

/** The states of a status signal, in the place of scale, offset and range. */
const statusCell = (signal: BusSignal): Html =>
  html`<td colspan="3">${writtenText(signal.of)}: ${statesText(signal)}</td>`;

/** `0 off, 1 caution, 2 warning` */
export const statesText = (signal: BusSignal): string =>
  statesOf(signal)
    .map(({ key, word }) => `${key} ${word.text}`)
    .join(', ');
