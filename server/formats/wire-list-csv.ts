import type { WireListLine } from '../../shared/derived/wire-list.ts';
import { csvText } from './csv-text.ts';

const HEAD = ['circuit', 'from', 'to', 'via', 'gauge', 'colour', 'length_m', 'shield', 'protector'];

/** For a spreadsheet or a wire marker: one line for each circuit; several ends and positions are separated by spaces. */
export const wireListCsv = (lines: readonly WireListLine[]): string =>
  csvText([
    HEAD,
    ...lines.map(({ circuit, from, to, via, gauge, colour, length, shield, protector }) => [
      ...[circuit, from, to.join(' '), via.join(' '), gauge, colour],
      length ?? '',
      ...[shield, protector],
    ]),
  ]);
