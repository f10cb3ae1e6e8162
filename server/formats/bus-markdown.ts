import { formatNumber, formatQuantity, formatStated } from '../../shared/quantity/index.ts';
import { plain } from '../markdown.ts';
import type { BusReport, ReportedMessage, ReportedSignal } from './bus-report.ts';
import type { Format } from './format.ts';

/** For a report: what the bus carries, one table a message. */
export const busMarkdown: Format<BusReport> = {
  write(report) {
    const { title, revision, messages } = report;
    const heading = `# Bus of ${plain(title)}${revision === undefined ? '' : `, revision ${plain(revision)}`}\n`;
    return [heading, `${summary(report)}\n`, `${NUMBERING}\n`, ...messages.map(messageText)].join('\n');
  },
};

const NUMBERING =
  'A value is count · factor + offset. Bits are numbered byte by byte, in each byte from its least significant bit, so ' +
  'position = 8 · byte + bit. The start bit is the least significant bit of a signal with little byte order, which ' +
  'goes on upwards; it is the most significant bit of one with big byte order, which goes on downwards in its byte and ' +
  'then from bit 7 of the next.';

function summary({ bitrate, load, worstResponseTime }: BusReport): string {
  const parts = [bitrate === undefined ? undefined : formatStated(bitrate, 'kbit/s')];
  if (load) {
    const [nominal, worst] = [load.nominal, load.worstCase].map((share) => formatQuantity(share, '%', 3));
    parts.push(`load ${nominal}, with worst-case stuffing ${worst}`);
  }
  if (worstResponseTime !== undefined)
    parts.push(`every message out within ${formatQuantity(worstResponseTime, 'ms')}`);
  return parts.filter((part) => part !== undefined).join(' · ');
}

function messageText({ name, id, extended, length, period, responseTime, signals }: ReportedMessage): string {
  const facts = [
    `identifier 0x${id.toString(16).toUpperCase()} (${extended ? 29 : 11} bits)`,
    `${length} byte`,
    period === undefined ? 'not sent in time' : `every ${formatStated(period, 'ms')}`,
    ...(responseTime === undefined ? [] : [`out within ${formatQuantity(responseTime, 'ms')}`]),
  ];
  const head = '| signal | start bit | bits | byte order | signed | factor | offset | from | to | unit |';
  const rows = signals.map(row).join('');
  return `## ${plain(name)}\n\n${facts.join(' · ')}\n\n${head}\n|${'---|'.repeat(10)}\n${rows}`;
}

function row({ name, startBit, bits, byteOrder, signed, ...coding }: ReportedSignal): string {
  const { factor, offset, minimum, maximum, unit } = coding;
  // Factor and offset go into a display, so not a digit of them may be lost.
  const cells = [name, startBit, bits, byteOrder, signed ? 'yes' : 'no', factor, offset];
  const ends = [minimum, maximum].map((end) => formatNumber(end, 8));
  return `| ${[...cells, ...ends, unit].map((cell) => plain(String(cell))).join(' | ')} |\n`;
}
