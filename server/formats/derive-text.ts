import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { maximumOf } from '../../shared/extremes.ts';
import { citation } from '../../shared/physics/citation.ts';
import { moversOf, moversText } from '../sensitivity-words.ts';
import type { TextLayout } from '../terminal.ts';
import {
  type DeriveReport,
  notesOf,
  originsOf,
  placesIn,
  resultsIn,
  sourcesOf,
  type ValueGroup,
} from './derive-report.ts';
import type { Format } from './format.ts';
import { displayWidth, hang, OPERATORS, PARTS, padEnd, padStart, printable } from './layout.ts';

/** For people: group by group each value with its formula, the numbers in it, and the sources. */
export const deriveText: Format<DeriveReport> = {
  write(report, paper) {
    const groups = report.groups.map((group) => groupText(group, paper));
    return [`${paper.style.bold(printable(report.name))}\n`, ...groups, sourceList(report, paper)].join('\n');
  },
};

/** The maximum width of a label before it is wrapped. */
const LABELS = 44;

function groupText(group: ValueGroup, paper: TextLayout): string {
  const { title, conditions, values } = group;
  const { style, width } = paper;
  const heading = [style.bold(style.blue(printable(title)))];
  if (conditions.length > 0) {
    heading.push(style.dim(hang('  ', printable(conditions.join(' · ')), width, PARTS)));
  }
  const labels = Math.min(
    LABELS,
    Math.max(0, ...values.map((value) => displayWidth(printable(value.label)))),
  );
  const results = Math.max(0, ...values.map((value) => displayWidth(valueText(value))));
  const placeOf = placesIn(group);
  const blocks = families(values).map((family) => {
    const [value] = family;
    const label = hang('  ', printable(value.label), labels + 2).split('\n');
    label.push(padEnd(label.pop()!, labels + 2));
    const result = family.length === 1 ? style.bold(padEnd(valueText(value), results)) : padEnd('', results);
    const sources = hang(' '.repeat(labels + results + 6), value.sources.join(', '), width).trimStart();
    const head = `${label.join('\n')}  ${result}  ${style.dim(sources)}`;
    if (family.length > 1) return [head, ...table(family, paper)].join('\n');
    const movers = moversText(moversOf(value));
    const remarks = [placeOf(value), ...originsOf(value), movers].filter((remark) => remark !== undefined);
    return [head, ...working(value, remarks, paper)].join('\n');
  });
  return `${heading.join('\n')}\n\n${blocks.join('\n\n')}\n`;
}

/** Values with the same label and formula at several places. */
type Family = readonly [DerivedValue, ...DerivedValue[]];

function families(values: readonly DerivedValue[]): Family[] {
  const found = new Map<string, [DerivedValue, ...DerivedValue[]]>();
  for (const value of values) {
    const key = `${value.label}\n${value.formula}`;
    const family = found.get(key);
    if (family) family.push(value);
    else found.set(key, [value]);
  }
  return [...found.values()];
}

const INDENT = '    ';

/** The width of place and result beyond which the formula goes on the next line. */
const LONG_PLACE = 50;

/** The lines under a value: formula and numbers, their equals signs aligned, then remarks. */
function working(value: DerivedValue, remarks: readonly string[], paper: TextLayout): string[] {
  const blank = ' '.repeat(displayWidth(symbolOf(value)));
  return [
    formulaLine(value, paper),
    hang(`${INDENT}${blank} = `, printable(value.substituted), paper.width, OPERATORS),
    ...remarkLines(INDENT, remarks, notesOf(value), paper),
  ];
}

/** The lines under a family: the formula, common remarks, then the result at each place. */
function table(family: Family, paper: TextLayout): string[] {
  const shared = originsOf(family[0]).filter((origin) =>
    family.every((one) => originsOf(one).includes(origin)),
  );
  const places = maximumOf(family.map(({ at }) => displayWidth(printable(at))));
  const resultOf = resultsIn(family);
  const results = maximumOf(family.map((value) => displayWidth(resultOf(value))));
  const rows = family.flatMap((value) => {
    const end = ` = ${valueText(value)}`;
    const numbers = value.substituted.endsWith(end)
      ? value.substituted.slice(0, -end.length)
      : value.substituted;
    const place = `${INDENT}${padEnd(printable(value.at), places)}  ${padStart(resultOf(value), results)}`;
    // After a long key path the numbers get a line of their own.
    const isLong = displayWidth(place) > LONG_PLACE;
    const head = isLong ? `${INDENT}  = ` : `${place}  = `;
    const own = originsOf(value).filter((origin) => !shared.includes(origin));
    const indent = ' '.repeat(displayWidth(head));
    return [
      ...(isLong ? [place.trimEnd()] : []),
      hang(head, printable(numbers), paper.width, OPERATORS),
      ...remarkLines(indent, own, notesOf(value), paper),
    ];
  });
  return [formulaLine(family[0], paper), ...remarkLines(INDENT, shared, [], paper), ...rows];
}

function symbolOf({ formula }: DerivedValue): string {
  return formula.slice(0, formula.indexOf(' = '));
}

function formulaLine(value: DerivedValue, { width }: TextLayout): string {
  const head = `${symbolOf(value)} = `;
  return hang(INDENT + head, value.formula.slice(head.length), width, OPERATORS);
}

function remarkLines(
  indent: string,
  remarks: readonly string[],
  notes: readonly string[],
  { style, width }: TextLayout,
): string[] {
  const line = (text: string) => hang(indent, printable(text), width);
  return [
    ...remarks.map((remark) => style.dim(line(remark))),
    ...notes.map((note) => style.yellow(line(note))),
  ];
}

function sourceList(report: DeriveReport, { style, width }: TextLayout): string {
  const keys = sourcesOf(report);
  if (keys.length === 0) return '';
  const column = maximumOf(keys.map((key) => key.length));
  const lines = keys.map((key) => hang(`  ${padEnd(key, column)}  `, citation(key), width));
  return `${style.bold(style.blue('Sources'))}\n\n${lines.join('\n')}\n`;
}
