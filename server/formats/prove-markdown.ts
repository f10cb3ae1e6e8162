import { BOUND_DIGITS, boundText, toleranceWords, witnessTexts } from '../../shared/proof/witness.ts';
import { formatQuantity } from '../../shared/quantity/index.ts';
import { plain } from '../markdown.ts';
import type { Format } from './format.ts';
import type { ProvedFile, ProveReport } from './prove-report.ts';

/** For a comment or a page: one table for each file. */
export const proveMarkdown: Format<ProveReport> = {
  write: ({ files }) => files.map(fileText).join('\n'),
};

const HEAD =
  '| Value | Side | Map set | Fault | Bound | Reached | Limit | Verdict | Witness |\n|---|---|---|---|---:|---:|---:|---|---|\n';

function fileText({ name, bounds }: ProvedFile): string {
  const rows = bounds.map((one) => {
    const { label, side, mapSet, fault, reached, show, limit, verdict } = one;
    const limitText = limit ? formatQuantity(limit.value, show, BOUND_DIGITS) : '';
    const numbers = [boundText(one), formatQuantity(reached, show, BOUND_DIGITS), limitText];
    const witness = [...Object.values(witnessTexts(one)), toleranceWords(one.atTolerance)]
      .filter(Boolean)
      .join(', ');
    const cells = [label, side, mapSet ?? '', fault ?? '', ...numbers, verdict ?? '', witness];
    return `| ${cells.map(plain).join(' | ')} |\n`;
  });
  return `## ${plain(name)}\n\n${HEAD}${rows.join('')}`;
}
