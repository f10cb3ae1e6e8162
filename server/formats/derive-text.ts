import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { citation } from '../../shared/physics/citation.ts';
import type { Paper } from '../terminal.ts';
import { type DeriveReport, originsOf, placeIn, sourcesOf, type ValueGroup } from './derive-report.ts';
import type { Format } from './format.ts';
import { displayWidth, hang, OPERATORS, PARTS, padEnd, printable } from './layout.ts';

/** For people: group by group each value with its formula, the numbers put in, and where they come from. */
export const deriveText: Format<DeriveReport> = {
  name: 'text',
  write(report, paper) {
    const groups = report.groups.map((group) => groupText(group, paper));
    return [`${paper.style.bold(printable(report.name))}\n`, ...groups, sourceList(report, paper)].join('\n');
  },
};

/** Columns that a label may fill before it takes a second line. */
const LABELS = 44;

function groupText(group: ValueGroup, paper: Paper): string {
  const { title, conditions, values } = group;
  const { style, width } = paper;
  const heading = [style.bold(style.blue(printable(title)))];
  if (conditions.length > 0) {
    heading.push(style.dim(hang('  ', printable(conditions.join(' · ')), width, PARTS)));
  }
  const labels = Math.min(LABELS, Math.max(0, ...values.map((value) => displayWidth(value.label))));
  const results = Math.max(0, ...values.map((value) => displayWidth(valueText(value))));
  const blocks = values.map((value) => {
    const label = hang('  ', value.label, labels + 2).split('\n');
    label.push(padEnd(label.pop()!, labels + 2));
    const result = style.bold(padEnd(valueText(value), results));
    const sources = hang(' '.repeat(labels + results + 6), value.sources.join(', '), width).trimStart();
    const head = `${label.join('\n')}  ${result}  ${style.dim(sources)}`;
    return [head, ...working(value, placeIn(group, value), paper)].join('\n');
  });
  return `${heading.join('\n')}\n\n${blocks.join('\n\n')}\n`;
}

const INDENT = '    ';

/** The lines under a value: formula and numbers with their equals signs in one column, then what else is to be said. */
function working(value: DerivedValue, place: string | undefined, { style, width }: Paper): string[] {
  const [symbol, ...expression] = value.formula.split(' = ');
  const blank = ' '.repeat(displayWidth(symbol!));
  const lines = [
    hang(`${INDENT}${symbol} = `, expression.join(' = '), width, OPERATORS),
    hang(`${INDENT}${blank} = `, printable(value.substituted), width, OPERATORS),
  ];
  for (const remark of [...(place ? [place] : []), ...originsOf(value)]) {
    lines.push(style.dim(hang(INDENT, printable(remark), width)));
  }
  if (value.note !== undefined) lines.push(style.yellow(hang(INDENT, printable(value.note), width)));
  return lines;
}

function sourceList(report: DeriveReport, { style, width }: Paper): string {
  const keys = sourcesOf(report);
  if (keys.length === 0) return '';
  const column = Math.max(...keys.map((key) => key.length));
  const lines = keys.map((key) => hang(`  ${padEnd(key, column)}  `, citation(key), width));
  return `${style.bold(style.blue('Sources'))}\n\n${lines.join('\n')}\n`;
}
