import { boundTexts, bySeverity, effectTexts, lostText, severityCounts, shownText } from '../fault-words.ts';
import { paperPath, projectPath } from '../files.ts';
import { plain, prose } from '../markdown.ts';
import type { FaultsOfFile, FaultsReport } from './faults-report.ts';
import type { Format } from './format.ts';

/** For a document or a review: one table for each file, the worst faults first. */
export const faultsMarkdown: Format<FaultsReport> = {
  write: ({ files }) => files.map(fileText).join('\n'),
};

const HEAD =
  '| Severity | Fails | How | Effect | Lost | Shown by | Stated |\n|---|---|---|---|---|---|---|\n';

function fileText({ name, rows }: FaultsOfFile): string {
  const lines = bySeverity(rows)
    .flatMap(([, own]) => own)
    .map((row) => {
      const { severity, of, how, reasons, stated } = row;
      const effect = [
        ...reasons.map(prose),
        ...effectTexts(row).map(plain),
        ...boundTexts(row).map(plain),
      ].join('<br>');
      const cells = [severity, of, how].map(plain);
      const rest = [lostText(row), shownText(row), stated ?? ''].map(plain);
      return `| ${[...cells, effect, ...rest].join(' | ')} |\n`;
    });
  return `## ${plain(paperPath(projectPath(name)))}\n\n${severityCounts(rows)}.\n\n${HEAD}${lines.join('')}`;
}
