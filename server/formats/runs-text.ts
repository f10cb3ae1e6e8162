import { plainText } from '../plain-text.ts';
import type { Grid } from '../run-words.ts';
import type { TextLayout } from '../terminal.ts';
import type { Format } from './format.ts';
import { displayWidth, hang, padEnd, padStart, printable } from './layout.ts';
import { changeParts, type Part, partsOf } from './runs-parts.ts';
import type { NamedRun, RunsReport } from './runs-report.ts';

/** For people. */
export const runsText: Format<RunsReport> = {
  write(report, paper) {
    const { runs, against } = report;
    const blocks = [
      ...runs.map((run) => runText(run, paper)),
      ...against.map((run) => runText(run, paper, 'before: ')),
      ...changeParts(report).map((part) => partText(part, paper)),
    ];
    return blocks.join('\n');
  },
};

function runText(run: NamedRun, paper: TextLayout, before = ''): string {
  const title = run.title === run.name ? '' : `  ${paper.style.dim(printable(run.title))}`;
  const head = `${before}${paper.style.bold(printable(run.name))}${title}`;
  return `${head}\n\n${partsOf(run)
    .map((part) => partText(part, paper))
    .join('\n')}`;
}

function partText({ title, lines = [], grid, note }: Part, paper: TextLayout): string {
  const { style, width } = paper;
  const texts = [
    style.bold(style.blue(title)),
    ...lines.map((line) => hang('  ', printable(plainText(line)), width)),
    ...(grid && grid.rows.length > 0 ? gridLines(grid, paper) : []),
    ...(note && (grid?.rows.length ?? 0) > 0 ? [style.dim(hang('  ', printable(note), width))] : []),
  ];
  return `${texts.join('\n')}\n`;
}

const NUMBER = /^[+−-]?\d/;

/** Numbers to the right, words to the left. */
function gridLines({ head, rows }: Grid, { style }: TextLayout): string[] {
  const widths = head.map((text, i) => Math.max(...[text, ...rows.map((row) => row[i]!)].map(displayWidth)));
  const isNumber = head.map((_, i) => rows.some((row) => NUMBER.test(row[i]!)));
  const line = (cells: readonly string[]) =>
    `  ${cells
      .map((cell, i) => (isNumber[i] ? padStart : padEnd)(printable(cell), widths[i]!))
      .join('  ')
      .trimEnd()}`;
  return [style.dim(line(head)), ...rows.map(line)];
}
