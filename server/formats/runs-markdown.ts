import { plain } from '../markdown.ts';
import type { Format } from './format.ts';
import { changeParts, type Part, partsOf } from './runs-parts.ts';
import type { NamedRun, RunsReport } from './runs-report.ts';

/** For a document or a review. */
export const runsMarkdown: Format<RunsReport> = {
  write(report) {
    const { runs, against } = report;
    const blocks = [
      ...changeParts(report).map((part) => partText(part, '##')),
      ...runs.map((run) => runText(run, '')),
      ...against.map((run) => runText(run, 'Before: ')),
    ];
    return `# Measured runs\n\n${blocks.join('\n')}`;
  },
};

const runText = (run: NamedRun, before: string): string =>
  `## ${before}${plain(run.title)}\n\n${plain(run.name)}\n\n${partsOf(run)
    .map((part) => partText(part, '###'))
    .join('\n')}`;

function partText({ title, lines = [], grid, note }: Part, level: string): string {
  const blocks = [`${level} ${title}\n`];
  if (lines.length > 0) blocks.push(`${lines.map((line) => `- ${plain(line)}`).join('\n')}\n`);
  if (grid && grid.rows.length > 0) {
    const row = (cells: readonly string[]) => `| ${cells.map(plain).join(' | ')} |`;
    const rule = `|${grid.head.map(() => '---').join('|')}|`;
    blocks.push(`${[row(grid.head), rule, ...grid.rows.map(row)].join('\n')}\n`);
    if (note) blocks.push(`${plain(note)}\n`);
  }
  return blocks.join('\n');
}
