import type { BusReport, ReportedMessage, ReportedSignal } from './bus-report.ts';
import type { Format } from './format.ts';

/** For programs: times in s, the bit rate in bit/s, lengths in bytes, loads as shares; null for an unknown value. */
export const busJson: Format<BusReport> = {
  write(report) {
    const { file, title, revision, bitrate, load, worstResponseTime, messages } = report;
    const bus = {
      file,
      title,
      revision: revision ?? null,
      bitrate: bitrate ?? null,
      load: load ? { nominal: load.nominal, worst_case: load.worstCase } : null,
      worst_response_time: worstResponseTime ?? null,
      messages: messages.map(messageOf),
    };
    return `${JSON.stringify(bus, null, 2)}\n`;
  },
};

function messageOf(message: ReportedMessage) {
  const { name, id, extended, length, period, frameTime, responseTime, signals } = message;
  return {
    name,
    id,
    extended,
    length,
    every: period ?? null,
    frame_time: frameTime ?? null,
    response_time: responseTime ?? null,
    signals: signals.map(signalOf),
  };
}

function signalOf({ name, startBit, bits, byteOrder, signed, ...coding }: ReportedSignal) {
  const { factor, offset, minimum, maximum, unit, isFloat, states, of } = coding;
  return {
    name,
    start_bit: startBit,
    bits,
    byte_order: byteOrder,
    signed,
    factor,
    offset,
    minimum,
    maximum,
    unit,
    ...(isFloat && { encoding: 'float' }),
    // Only of a status signal.
    ...(states && { of, states: Object.fromEntries(states.map((one) => [String(one.raw), one.name])) }),
  };
}
