import type { BusReport, ReportedMessage, ReportedSignal } from './bus-report.ts';
import type { Format } from './format.ts';

const SENDER = 'controller';
const RECEIVER = 'display';

/** The attribute that holds the period of a message in this format, in whole milliseconds. */
const PERIOD = 'GenMsgCycleTime';
const LONGEST_PERIOD = 3_600_000;

/**
 * A CAN database file, the usual exchange format for message lists. Plain ASCII, because readers disagree on the
 * encoding. `@1` is little-endian with the start at the least significant bit, `@0` big-endian with the start at the
 * most significant bit; both count bits byte by byte from the least significant bit of each. An extended identifier
 * has bit 31 set.
 */
export const busDbc: Format<BusReport> = {
  write(report) {
    const messages = withIdentifiers(report.messages);
    const frames = messages.map(({ identifier, item, signals }) => {
      const head = `BO_ ${key(item)} ${identifier}: ${item.length} ${SENDER}`;
      return [head, ...signals.map((signal) => ` SG_ ${statement(signal)}`), ''].join('\n');
    });
    const comments = messages.flatMap(({ item, signals }) => [
      ...(isPlainPeriod(item) ? [] : [`CM_ BO_ ${key(item)} ${text(oddPeriod(item))};`]),
      ...signals.map((signal) => `CM_ SG_ ${key(item)} ${signal.identifier} ${text(signal.item.label)};`),
    ]);
    const states = messages.flatMap(({ item, signals }) =>
      signals.flatMap((signal) => {
        const words = signal.item.states?.map(({ raw, name }) => `${raw} ${text(name)}`);
        return words ? [`VAL_ ${key(item)} ${signal.identifier} ${words.join(' ')} ;`] : [];
      }),
    );
    const floats = messages.flatMap(({ item, signals }) =>
      signals
        .filter((signal) => signal.item.isFloat)
        .map(
          (signal) => `SIG_VALTYPE_ ${key(item)} ${signal.identifier} : ${signal.item.bits === 32 ? 1 : 2};`,
        ),
    );
    const periods = messages.flatMap(({ item }) =>
      item.period !== undefined && isPlainPeriod(item)
        ? [`BA_ "${PERIOD}" BO_ ${key(item)} ${milliseconds(item.period)};`]
        : [],
    );
    const lines = [
      `VERSION ${text(report.revision ?? '')}`,
      '\nNS_ :\n\nBS_:\n',
      `BU_: ${SENDER} ${RECEIVER}\n`,
      ...frames,
      `CM_ ${text(about(report))};`,
      ...comments,
      `BA_DEF_ BO_ "${PERIOD}" INT 0 ${LONGEST_PERIOD};`,
      `BA_DEF_DEF_ "${PERIOD}" 0;`,
      ...periods,
      ...states,
      ...floats,
    ];
    return `${lines.join('\n')}\n`;
  },
};

function about({ title, bitrate }: BusReport): string {
  return bitrate === undefined ? title : `${title}, ${bitrate} bit/s`;
}

/** The number of a message in this format. */
const key = ({ id, extended }: ReportedMessage): number => id + (extended ? 2 ** 31 : 0);

function statement({ identifier, item }: Identified<ReportedSignal>): string {
  const { startBit, bits, byteOrder, signed, isFloat, factor, offset, minimum, maximum, unit } = item;
  const place = `${startBit}|${bits}@${byteOrder === 'little' ? 1 : 0}${signed || isFloat ? '-' : '+'}`;
  return `${identifier} : ${place} (${factor},${offset}) [${minimum}|${maximum}] ${text(unit)} ${RECEIVER}`;
}

/** 0.05 s is 50 ms, and not 50.00000000000001. */
const milliseconds = (seconds: number): number => Number((1000 * seconds).toPrecision(12));

/** Whether the attribute can hold the period; 0 is a message without a period. */
function isPlainPeriod({ period }: ReportedMessage): boolean {
  if (period === undefined) return true;
  const number = milliseconds(period);
  return Number.isInteger(number) && number > 0 && number <= LONGEST_PERIOD;
}

const oddPeriod = ({ period }: ReportedMessage): string =>
  `Sent every ${milliseconds(period!)} ms; ${PERIOD} can only hold whole milliseconds.`;

interface Identified<Item> {
  readonly identifier: string;
  readonly item: Item;
}

interface IdentifiedMessage extends Identified<ReportedMessage> {
  readonly signals: readonly Identified<ReportedSignal>[];
}

function withIdentifiers(messages: readonly ReportedMessage[]): IdentifiedMessage[] {
  return identified(messages).map((one) => ({ ...one, signals: identified(one.item.signals) }));
}

/** Names as the format allows them: letters, digits and `_`, each name once: `exhaust_gas_temperature_2`. */
function identified<Item extends { readonly name: string }>(items: readonly Item[]): Identified<Item>[] {
  const taken = new Set<string>();
  const counts = new Map<string, number>();
  return items.map((item) => {
    const plain = item.name.replace(/[^A-Za-z0-9_]+/g, '_').replace(/(?<=.)_$/, '');
    const base = /^[A-Za-z_]/.test(plain) ? plain : `_${plain}`;
    let identifier = base;
    let count = counts.get(base) ?? 1;
    while (taken.has(identifier)) identifier = `${base}_${++count}`;
    counts.set(base, count);
    taken.add(identifier);
    return { identifier, item };
  });
}

/** A text in quotes. The format has no portable way to write a quote or a character beyond ASCII. */
function text(content: string): string {
  const plain = content
    .replaceAll('°', 'deg')
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/["\\]/g, "'")
    .replace(/\s+/g, ' ')
    .replace(/[^\x20-\x7e]/g, '?');
  return `"${plain}"`;
}
