import { listed } from '../../shared/checks/words.ts';
import { boundGroups } from '../../shared/compare/bound-words.ts';
import type { BoundConsequence } from '../../shared/compare/bounds.ts';
import { briefOf, wholeOf } from '../../shared/compare/brief.ts';
import type { Change } from '../../shared/compare/change.ts';
import { isNear, isWorseBeyond } from '../../shared/compare/consequence-order.ts';
import { faultSentence, type WorseFault } from '../../shared/compare/fault-words.ts';
import { type MovedBox, movedBox } from '../../shared/compare/grid.ts';
import { relativeStepTexts } from '../../shared/compare/step.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { type Verdict, verdictOf, verdictParts, verdictText } from '../../shared/compare/verdict.ts';
import {
  changePlace,
  changeText,
  commonLimit,
  limitSentence,
  type TextPair,
  valuePairs,
  valuePlace,
} from '../../shared/compare/words.ts';
import { counted } from '../../shared/counted.ts';
import { maximumOf } from '../../shared/extremes.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { plainText } from '../plain-text.ts';
import type { Style, TextLayout } from '../terminal.ts';
import { boxTable } from './compare-grid.ts';
import {
  type ComparedFile,
  type CompareFormat,
  type CompareReport,
  type FindingLine,
  fileName,
  fileSections,
  fileTally,
  findingLine,
  type Head,
  headOf,
  type Printing,
} from './compare-report.ts';
import { displayWidth, hang, padEnd, padStart, printable } from './layout.ts';

/**
 * For people: file by file the verdict, the consequences for the engine and the changes, then the totals.
 */
export const compareText: CompareFormat<string> = {
  part: (file, printing) => fileText(file, printing),
  write: (report, paper) => {
    const head = headOf(report.files);
    const parts = head.own.map(({ part }) => part);
    return [...installations(head, paper), ...parts, summary(report, paper)].join('\n');
  },
};

/** A line for each file with differences; overlays with the consequences of their base file share one. */
function installations({ own, alike }: Head<string>, { style, width }: TextLayout): string[] {
  if (own.length + alike.size < 2) return [];
  const lines = own.map(({ name, tally }) => {
    const [found] = verdictParts(tally);
    return hang('  ', `${style[PAINT[verdictOf(tally)]](printable(name))}  ${lowerFirst(found)}`, width);
  });
  const others = [...alike].map(([bases, names]) =>
    hang('  ', printable(`As ${bases}: ${listed(names)}`), width),
  );
  return [`${style.bold(style.blue('Files'))}\n${[...lines, ...others].join('\n')}\n`];
}

const PAINT: Readonly<Record<Verdict, keyof Style>> = {
  nothing: 'dim',
  harmless: 'dim',
  look: 'yellow',
  stop: 'red',
};

function summary({ whole, compared }: CompareReport<string>, { style, width }: TextLayout): string {
  const paint = style[PAINT[verdictOf(whole)]];
  const files = `${counted(compared, 'file')} compared`;
  return `${paint(hang('', `${files}: ${lowerFirst(verdictText(whole))}`, width))}\n`;
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

function fileText(file: ComparedFile, { paper, all }: Printing): string {
  const { style, width } = paper;
  const head = style.bold(printable(fileName(file)));
  const from = file.was && file.is ? style.dim(`  compared with ${printable(file.was.name)}`) : '';
  const tally = fileTally(file);
  const verdict = style[PAINT[verdictOf(tally)]](hang('', verdictText(tally), width));
  const sections = fileSections(file);
  const { findings, inherited, faults } = sections;
  const { near, conditional, others, nearBounds, areas, left } = all ? wholeOf(sections) : briefOf(sections);
  const lines = findings.map((finding) => findingText(findingLine(file, finding), paper));
  const blocks = [
    ...[...areas].flatMap(([area, some]) => block(`Changes: ${area}`, changeLines(some, paper), style)),
    ...block('In base files', inherited === '' ? [] : [hang('  ', printable(inherited), width)], style),
    ...block('Findings', lines, style),
    ...block('Derived values', valueLines([...near, ...conditional, ...others], paper), style),
    ...block('Bounds', boundLines(nearBounds, paper), style),
    ...block('Single faults made worse', faultTexts(faults, paper), style),
    ...(left === '' ? [] : [`${style.dim(hang('', `Not listed: ${left}. All: \`--all\`.`, width))}\n`]),
  ];
  return [`${head}${from}\n${verdict}\n`, ...blocks].join('\n');
}

/** Lines under a heading; nothing if there are none. */
function block(title: string, lines: readonly string[], style: Style): string[] {
  return lines.length > 0 ? [`${style.bold(style.blue(title))}\n${lines.join('\n')}\n`] : [];
}

const FINDING_PAINT: Readonly<Record<FindingLine['kind'], keyof Style>> = {
  error: 'red',
  warning: 'yellow',
  note: 'dim',
  accepted: 'dim',
  gone: 'green',
};

function findingText(line: FindingLine, { style, width }: TextLayout): string {
  const { words, rule, place, message, reason, kind } = line;
  const lines = [
    `  ${style[FINDING_PAINT[kind]](words)}  ${style.cyan(rule)}  ${style.dim(printable(place))}`,
    hang('    ', printable(plainText(message)), width),
  ];
  if (reason !== undefined) lines.push(hang('    accepted: ', printable(reason), width));
  return lines.join('\n');
}

/**
 * Values of one label together, each with its place, old and new value, change and margin. If no margin was reduced, only
 * the value that changed most is shown.
 */
function valueLines(values: readonly ValueConsequence[], paper: TextLayout): string[] {
  if (values.length === 0) return [];
  const groups = [...groupedBy(values, ({ label }) => label).values()].map(rowsOf);
  const widest = maximumOf(groups.flat().map(({ place }) => displayWidth(place)));
  const column = Math.min(WIDEST_PLACE, widest) + INDENT.length;
  return groups.flatMap((rows) => {
    const [was, is] = [0, 1].map((side) => maximumOf(rows.map(({ pair }) => displayWidth(pair[side]!))));
    const moves = maximumOf(rows.map(({ moved }) => displayWidth(moved)));
    const lines = rows.map(({ value, place, pair, moved, room }) => {
      const where = hang(INDENT, place, column).split('\n');
      where.push(padEnd(where.pop()!, column));
      const numbers = `${padStart(pair[0], was!)} → ${padStart(pair[1], is!)}`;
      const change = moves > 0 ? `${padStart(moved, moves)}  ` : '';
      return hangAfter(
        `${where.join('\n')}  ${numbers}  ${change}`,
        room,
        paper,
        paintOf(value, paper.style),
      );
    });
    return [hang('  ', rows[0]!.title, paper.width), ...lines];
  });
}

/** Bounds of one label together. */
function boundLines(near: readonly BoundConsequence[], paper: TextLayout): string[] {
  return boundGroups(near).flatMap(({ label, limit, rows }) => [
    hang('  ', printable([label, limit].filter(Boolean).join(', ')), paper.width),
    ...rows.map(({ place, was, is, moved, sentence, isBroken }) => {
      const parts = [place, `${was} → ${is}`, moved, sentence].filter(Boolean);
      const text = hang(INDENT, printable(parts.join('  ')), paper.width);
      return isBroken ? paper.style.red(text) : text;
    }),
  ]);
}

/** More lines than this are counted. */
const MOST_FAULTS = 20;

function faultTexts(faults: readonly WorseFault[], { style, width }: TextLayout): string[] {
  const lines = faults.slice(0, MOST_FAULTS).map((line) => {
    const text = hang('  ', printable(plainText(faultSentence(line))), width);
    return line.isSevere ? style.red(text) : text;
  });
  const left = faults.length - lines.length;
  return left > 0 ? [...lines, `  and ${left} more`] : lines;
}

const INDENT = '    ';
const WIDEST_PLACE = 28;

interface Row {
  readonly title: string;
  readonly value: ValueConsequence;
  readonly place: string;
  readonly pair: TextPair;
  readonly moved: string;
  readonly room: string;
}

function rowsOf(values: readonly ValueConsequence[]): Row[] {
  const near = values.filter((value) => isNear(value) || value.isConditional);
  const shown = near.length > 0 ? near : values.slice(0, 1);
  const others = values.length - shown.length;
  const limit = commonLimit(shown);
  const title = printable([values[0]!.label, limit].filter(Boolean).join(', '));
  const pairs = valuePairs(shown);
  const moves = relativeStepTexts(shown.map(({ step }) => step));
  return shown.map((value, i) => {
    const more = others > 0 && i === shown.length - 1 ? `, and ${others} more` : '';
    const place = printable(valuePlace(value)) + more;
    return { title, value, place, pair: pairs[i]!, moved: moves[i]!, room: limitSentence(value, limit) };
  });
}

function hangAfter(
  first: string,
  text: string,
  { width }: TextLayout,
  paint: (text: string) => string,
): string {
  const indent = displayWidth(first.split('\n').at(-1)!);
  const lines = hang(' '.repeat(indent), text, width).slice(indent);
  return (first + paint(lines)).trimEnd();
}

function paintOf(value: ValueConsequence, style: Style): (text: string) => string {
  const { limit } = value;
  if (!limit) return style.dim;
  return isWorseBeyond(value) ? style.red : (limit.is ?? 0) < 0 ? style.yellow : (text) => text;
}

function changeLines(changes: readonly Change[], paper: TextLayout): string[] {
  return changes.flatMap((change) => {
    const name = printable(changePlace(change));
    const line = hang(`  ${name}  `, printable(changeText(change)), paper.width);
    const box = change.type === 'table' ? movedBox(change.grid) : undefined;
    return box && change.type === 'table' ? [line, ...boxLines(box, change, paper)] : [line];
  });
}

/** The difference of each cell, if the rows fit into the width. */
function boxLines(box: MovedBox, { grid }: Extract<Change, { type: 'table' }>, paper: TextLayout): string[] {
  const rows = boxTable(grid, box);
  const widths = rows[0]!.map((_, i) => maximumOf(rows.map((row) => displayWidth(row[i]!))));
  const total = widths.reduce((sum, width) => sum + width + 2, 4);
  if (total > paper.width) return [];
  return rows.map((row, i) => {
    const line = `    ${row.map((cell, column) => padStart(cell, widths[column]!)).join('  ')}`;
    return i === 0 ? paper.style.dim(line) : line;
  });
}
