import { counted } from '../../shared/counted.ts';
import type { FaultSeverity } from '../../shared/faults/severity.ts';
import { SEVERITIES } from '../../shared/faults/severity.ts';
import {
  boundTexts,
  bySeverity,
  effectTexts,
  type FaultLine,
  lostText,
  severityCounts,
  shownText,
} from '../fault-words.ts';
import { plainText } from '../plain-text.ts';
import type { Style, TextLayout } from '../terminal.ts';
import type { FaultsOfFile, FaultsReport } from './faults-report.ts';
import type { Format } from './format.ts';
import { hang, printable } from './layout.ts';

/** For people: the faults by severity, the worst first. */
export const faultsText: Format<FaultsReport> = {
  write: ({ files }, paper) => files.map((file) => fileText(file, paper)).join('\n'),
};

const PAINT: Readonly<Record<FaultSeverity, keyof Style>> = {
  stops: 'red',
  damages: 'red',
  degrades: 'yellow',
  announces: 'cyan',
  hidden: 'yellow',
};

function fileText({ name, rows }: FaultsOfFile, paper: TextLayout): string {
  const { style, width } = paper;
  const groups = bySeverity(rows).map(([severity, own]) => {
    const head = `${style.bold(style[PAINT[severity]](severity))}  ${style.dim(SEVERITIES[severity])}`;
    return `${head}\n\n${own.map((row) => rowText(row, paper)).join('\n')}`;
  });
  const summary = `${counted(rows.length, 'single fault')}: ${severityCounts(rows)}.`;
  return `${style.bold(printable(name))}\n\n${groups.join('\n\n')}\n\n${hang('', summary, width)}\n`;
}

function rowText(row: FaultLine, { style, width }: TextLayout): string {
  const { of, how, reasons, lost, stated } = row;
  const line = (text: string) => hang('    ', printable(text), width);
  return [
    hang('  ', printable(`${of}: ${how}`), width),
    ...reasons.map((reason) => line(plainText(reason))),
    ...[...effectTexts(row), ...boundTexts(row)].map((text) => style.dim(line(text))),
    ...(lost.length > 0 ? [style.dim(line(`lost: ${lostText(row)}`))] : []),
    style.dim(line(row.toldBy.length > 0 ? `shown by: ${shownText(row)}` : shownText(row))),
    ...(stated === undefined ? [] : [line(`stated: ${stated}`)]),
  ].join('\n');
}
