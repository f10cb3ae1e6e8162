import { counted } from '../../shared/counted.ts';
import { formatNumber, formatQuantity, formatStated } from '../../shared/quantity/index.ts';
import { plain } from '../markdown.ts';
import type { BusReport, ReportedMessage, ReportedSignal } from './bus-report.ts';
import type { Format } from './format.ts';

/** For a document: one table per message. */
export const busMarkdown: Format<BusReport> = {
  write(report) {
    const { title, revision, messages } = report;
    const heading = `# Bus of ${plain(title)}${revision === undefined ? '' : `, revision ${plain(revision)}`}\n`;
    return [heading, `${summary(report)}\n`, `${NUMBERING}\n`, ...messages.map(messageText)].join('\n');
  },
};

const NUMBERING =
  'Value = raw value · factor + offset. Bits are numbered byte by byte, from the least significant bit of each byte: ' +
  'position = 8 · byte + bit. The start bit of a little-endian signal is its least significant bit, and the signal ' +
  'continues at higher positions. The start bit of a big-endian signal is its most significant bit; the signal ' +
  'continues at lower positions in the byte and then from bit 7 of the next byte.';

function summary({ bitrate, load, worstResponseTime }: BusReport): string {
  const parts = [bitrate === undefined ? undefined : formatStated(bitrate, 'kbit/s')];
  if (load) {
    const [nominal, worst] = [load.nominal, load.worstCase].map((share) => formatQuantity(share, '%', 3));
    parts.push(`bus load ${nominal}, with maximum bit stuffing ${worst}`);
  }
  if (worstResponseTime !== undefined)
    parts.push(`maximum response time ${formatQuantity(worstResponseTime, 'ms')}`);
  return parts.filter((part) => part !== undefined).join(' · ');
}

function messageText({ name, id, extended, length, period, responseTime, signals }: ReportedMessage): string {
  const facts = [
    `identifier 0x${id.toString(16).toUpperCase()} (${extended ? 29 : 11} bits)`,
    counted(length, 'byte'),
    period === undefined ? 'no period' : `every ${formatStated(period, 'ms')}`,
    ...(responseTime === undefined ? [] : [`response time up to ${formatQuantity(responseTime, 'ms')}`]),
  ];
  const head =
    '| Signal | Start bit | Bits | Byte order | Signed | Factor | Offset | Minimum | Maximum | Unit |';
  const rows = signals.map(row).join('');
  const states = signals.flatMap(statesText).join('');
  return `## ${plain(name)}\n\n${facts.join(' · ')}\n\n${head}\n${RULE}\n${rows}${states}`;
}

/** `- lights, status of lights: 0 off, 1 caution, 2 warning` */
function statesText({ name, of, states }: ReportedSignal): string[] {
  if (!states) return [];
  const words = states.map(({ raw, name: state }) => `${raw} ${state}`).join(', ');
  return [`\n- ${plain(`${name}, status of ${of}: ${words}`)}\n`];
}

/** Numbers are aligned on the right. */
const RULE = '|---|---:|---:|---|---|---:|---:|---:|---:|---|';

function row({ name, startBit, bits, byteOrder, signed, isFloat, ...coding }: ReportedSignal): string {
  const { factor, offset, minimum, maximum, unit } = coding;
  // Factor and offset are typed into a display, so every digit counts.
  const cells = [name, startBit, bits, byteOrder, isFloat ? 'float' : signed ? 'yes' : 'no', factor, offset];
  const ends = [minimum, maximum].map((end) => formatNumber(end, 8));
  return `| ${[...cells, ...ends, unit].map((cell) => plain(String(cell))).join(' | ')} |\n`;
}
