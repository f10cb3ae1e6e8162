import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { citation } from '../../shared/physics/citation.ts';
import type { Paper } from '../terminal.ts';
import { type DeriveReport, originsOf, sourcesOf, type ValueGroup } from './derive-report.ts';
import type { Format } from './format.ts';
import { displayWidth, hang, OPERATORS, padEnd, printable } from './layout.ts';

/** For people: group by group each value with its formula, the numbers put in, and where they come from. */
export const deriveText: Format<DeriveReport> = {
  name: 'text',
  write(report, paper) {
    const groups = report.groups.map((group) => groupText(group, paper));
    return [`${paper.style.bold(printable(report.name))}\n`, ...groups, sourceList(report, paper)].join('\n');
  },
};

function groupText({ title, conditions, values }: ValueGroup, paper: Paper): string {
  const { style, width } = paper;
  const heading = [style.bold(style.blue(printable(title)))];
  if (conditions.length > 0)
    heading.push(style.dim(hang('  ', conditions.map(printable).join(' · '), width)));
  const labels = Math.max(0, ...values.map((value) => displayWidth(value.label)));
  const results = Math.max(0, ...values.map((value) => displayWidth(valueText(value))));
  const blocks = values.map((value) => valueBlock(value, labels, results, paper));
  return `${heading.join('\n')}\n\n${blocks.join('\n')}`;
}

const INDENT = '    ';

function valueBlock(value: DerivedValue, labels: number, results: number, { style, width }: Paper): string {
  const label = padEnd(value.label, labels);
  const result = padEnd(valueText(value), results);
  const [symbol, ...expression] = value.formula.split(' = ');
  const blank = ' '.repeat(displayWidth(symbol!));
  const lines = [
    `  ${label}  ${style.bold(result)}  ${style.dim(value.sources.join(', '))}`,
    hang(`${INDENT}${symbol} = `, expression.join(' = '), width, OPERATORS),
    hang(`${INDENT}${blank} = `, printable(value.substituted), width, OPERATORS),
  ];
  for (const origin of originsOf(value)) lines.push(style.dim(hang(INDENT, printable(origin), width)));
  if (value.note !== undefined) lines.push(style.yellow(hang(INDENT, printable(value.note), width)));
  return `${lines.join('\n')}\n`;
}

function sourceList(report: DeriveReport, { style, width }: Paper): string {
  const keys = sourcesOf(report);
  if (keys.length === 0) return '';
  const column = Math.max(...keys.map((key) => key.length));
  const lines = keys.map((key) => hang(`  ${padEnd(key, column)}  `, citation(key), width));
  return `${style.bold(style.blue('Sources'))}\n\n${lines.join('\n')}\n`;
}
