import { formatQuantity } from '../../shared/quantity/index.ts';
import { plain } from '../markdown.ts';
import type { Format } from './format.ts';
import { type ProvedFile, type ProveReport, witnessTexts } from './prove-report.ts';

/** For a comment or a page: one table for each file. */
export const proveMarkdown: Format<ProveReport> = {
  write: ({ files }) => files.map(fileText).join('\n'),
};

const HEAD =
  '| Value | Side | Map set | Fault | Bound | Reached | Limit | Verdict | Witness |\n|---|---|---|---|---:|---:|---:|---|---|\n';

function fileText({ name, proof }: ProvedFile): string {
  const rows = proof.bounds.map((one) => {
    const { label, side, mapSet, fault, bound, reached, show, limit, verdict } = one;
    const numbers = [bound, reached, limit?.value].map((x) =>
      x === undefined ? '' : formatQuantity(x, show),
    );
    const witness = Object.values(witnessTexts(one)).join(', ');
    const cells = [label, side, mapSet ?? '', fault ?? '', ...numbers, verdict ?? '', witness];
    return `| ${cells.map(plain).join(' | ')} |\n`;
  });
  return `## ${plain(name)}\n\n${HEAD}${rows.join('')}`;
}
