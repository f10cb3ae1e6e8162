import { listed } from '../../shared/checks/words.ts';
import { boundGroups } from '../../shared/compare/bound-words.ts';
import type { BoundConsequence } from '../../shared/compare/bounds.ts';
import type { Change } from '../../shared/compare/change.ts';
import { isWorseBeyond } from '../../shared/compare/consequence-order.ts';
import type { WorseFault } from '../../shared/compare/fault-words.ts';
import { movedBox } from '../../shared/compare/grid.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { type Verdict, verdictOf, verdictText } from '../../shared/compare/verdict.ts';
import {
  changePlace,
  changeText,
  limitSentence,
  placeName,
  valuePlace,
  valueTexts,
} from '../../shared/compare/words.ts';
import { counted } from '../../shared/counted.ts';
import { code, plain, prose } from '../markdown.ts';
import { boxTable } from './compare-grid.ts';
import {
  type ComparedFile,
  type CompareFormat,
  type FileSections,
  type FindingLine,
  fileName,
  fileSections,
  fileTally,
  findingLine,
  type Head,
  headOf,
} from './compare-report.ts';
import { printable } from './layout.ts';

/**
 * For a comment on a pull request, which may have at most 65 536 characters: the verdict, then the consequences, with the
 * details collapsed. What does not fit is counted, never cut off.
 */
export const compareMarkdown: CompareFormat<FilePart> = {
  part: filePart,
  write(report) {
    const { whole } = report;
    const room = new Room(LONGEST);
    room.add(`${SIGNS[verdictOf(whole)]} **${plain(verdictText(whole))}**\n`);
    room.add(`\n${text(report.old)} → ${text(report.new)}, ${counted(report.compared, 'file')} compared.\n`);
    const head = headOf(report.files);
    for (const block of installations(head)) room.add(block);
    const left = head.own.filter(({ part }) => !added(part, room)).length;
    if (left > 0) {
      const more = `${counted(left, 'more changed file')} did not fit into this comment.`;
      room.addLast(`\n${more} ${code('enginewright compare --format html')} shows all of them.\n`);
    }
    return room.text;
  },
};

/** A row for each file with differences, the worst first; overlays with the consequences of their base file share one. */
function installations({ own, alike }: Head<FilePart>): string[] {
  if (own.length + alike.size < 2) return [];
  const rows = own.map(({ name, tally }) => [
    text(name),
    `${SIGNS[verdictOf(tally)]} ${plain(verdictText(tally))}`,
  ]);
  const others = [...alike].map(([bases, names]) => [
    names.length > MOST_NAMES ? counted(names.length, 'overlay') : text(listed(names)),
    text(`as ${bases}`),
  ]);
  return [`\n${tableText(['File', 'Verdict'], [...rows, ...others])}`];
}

/** The maximum number of overlays that are named in a row. */
const MOST_NAMES = 5;

/** No sign says that all is well: that nothing was found is no proof. */
const SIGNS: Readonly<Record<Verdict, string>> = { nothing: '▫️', harmless: '▫️', look: '⚠️', stop: '⛔' };

const LONGEST = 59_000;
/** Reserved for the sentence about what was left out. */
const RESERVE = 1_000;

/** Text that grows block by block up to a maximum length. */
class Room {
  text = '';
  constructor(readonly longest: number) {}

  add(block: string): boolean {
    if (this.text.length + block.length > this.longest - RESERVE) return false;
    this.text += block;
    return true;
  }

  addLast(block: string): void {
    if (this.text.length + block.length <= this.longest) this.text += block;
  }
}

/** A piece of text, and what to write if it does not fit. */
interface Block {
  readonly text: string;
  readonly instead?: string;
}

interface FilePart {
  readonly verdict: string;
  readonly blocks: readonly Block[];
}

/** Adds the part of a file; false if not even its verdict fits. */
function added({ verdict, blocks }: FilePart, room: Room): boolean {
  if (!room.add(verdict)) return false;
  for (const { text, instead } of blocks) if (!room.add(text) && instead !== undefined) room.add(instead);
  return true;
}

function filePart(file: ComparedFile): FilePart {
  const tally = fileTally(file);
  const { findings, near, conditional, others, nearBounds, otherBounds, faults, inherited, areas, own } =
    fileSections(file);
  const [grave, minor] = split(findings, isGrave);
  const rows = (some: typeof findings) => some.map((one) => findingRow(findingLine(file, one)));
  const [open, further] = [near.slice(0, MOST_OPEN), near.slice(MOST_OPEN)];
  const bounds = boundRows(nearBounds);
  const furtherTitle = `${counted(further.length, 'more value')} with a reduced margin`;
  return {
    verdict: `\n### ${text(fileName(file))}\n\n${SIGNS[verdictOf(tally)]} ${plain(verdictText(tally))}\n`,
    blocks: [
      ...table(CHANGE_HEAD, own.slice(0, MOST_OPEN).map(changeRow)),
      ...(inherited === '' ? [] : [{ text: `\n${plain(inherited)}\n` }]),
      ...table(FINDING_HEAD, rows(grave)),
      ...table(VALUE_HEAD, valueRows(open)),
      ...folded(furtherTitle, VALUE_HEAD, valueRows(further)),
      ...folded(
        `${counted(conditional.length, 'value')} if a sensor was not replaced`,
        VALUE_HEAD,
        valueRows(conditional),
      ),
      ...folded(`${counted(others.length, 'other derived value')} changed`, VALUE_HEAD, valueRows(others)),
      ...table(BOUND_HEAD, bounds.slice(0, MOST_OPEN)),
      ...folded(
        `${counted(bounds.length - MOST_OPEN, 'more bound')} with a reduced margin`,
        BOUND_HEAD,
        bounds.slice(MOST_OPEN),
      ),
      ...folded(`${counted(otherBounds.length, 'other bound')} moved`, BOUND_HEAD, boundRows(otherBounds)),
      ...table(FAULT_HEAD, faults.slice(0, MOST_OPEN).map(faultRow)),
      ...folded(
        `${counted(faults.length - MOST_OPEN, 'more single fault')} made worse`,
        FAULT_HEAD,
        faults.slice(MOST_OPEN).map(faultRow),
      ),
      ...folded(`${counted(minor.length, 'other finding')}`, FINDING_HEAD, rows(minor)),
      ...(own.length > MOST_OPEN
        ? [...areas].flatMap(([area, some]) =>
            folded(`${area}: ${counted(some.length, 'change')}`, CHANGE_HEAD, some.map(changeRow)),
          )
        : []),
      ...own.flatMap(gridBlock),
    ],
  };
}

const FINDING_HEAD = ['Finding', 'Check', 'Where', 'Message'];
const VALUE_HEAD = ['Derived value', 'Where', 'Old', 'New', 'Change', 'Margin to limit'];
const BOUND_HEAD = ['Bound', 'Where', 'Old', 'New', 'Change', 'Margin to limit'];
const FAULT_HEAD = ['Single fault made worse', 'How', 'Severity', 'Why'];
const CHANGE_HEAD = ['Where', 'Change'];
/** The columns of numbers, aligned on the right. */
const NUMBERS = new Set(['Old', 'New']);

function split<Member>(members: readonly Member[], wanted: (one: Member) => boolean): [Member[], Member[]] {
  return [members.filter(wanted), members.filter((one) => !wanted(one))];
}

const isGrave = ({ severity, is }: FileSections['findings'][number]): boolean =>
  severity === 'error' || severity === 'warning' || is === 'accepted';

function findingRow({ words, rule, place, message, reason, kind }: FindingLine): string[] {
  const isNew = kind === 'error' || kind === 'warning';
  const said = reason === undefined ? message : `${message} Accepted: ${reason}`;
  return [isNew ? `**${words}**` : words, code(rule), text(place), text(said)];
}

function valueRows(values: readonly ValueConsequence[]): string[][] {
  const texts = valueTexts(values);
  return values.map((value) => valueRow(value, texts.get(value)!));
}

function valueRow(value: ValueConsequence, [was, is, moved]: readonly [string, string, string]): string[] {
  const strong = isWorseBeyond(value);
  const now = strong ? `**${text(is)}**` : text(is);
  const room = limitSentence(value);
  return [text(value.label), text(valuePlace(value)), text(was), now, moved, text(room)];
}

function boundRows(bounds: readonly BoundConsequence[]): string[][] {
  return boundGroups(bounds).flatMap(({ label, limit, rows }) =>
    rows.map(({ place, was, is, moved, sentence, isBroken }) => {
      const now = isBroken ? `**${text(is)}**` : text(is);
      const margin = [limit, sentence].filter(Boolean).join(', ');
      return [text(label), text(place), text(was), now, moved, text(margin)];
    }),
  );
}

function faultRow({ of, how, severity, text: why, isSevere }: WorseFault): string[] {
  return [code(of), text(how), isSevere ? `**${text(severity)}**` : text(severity), prose(printable(why))];
}

function changeRow(change: Change): string[] {
  return [text(changePlace(change)), text(changeText(change))];
}

/** The maximum number of rows of a collapsed table and of an open one. */
const MOST_ROWS = 25;
const MOST_OPEN = 10;

const table = (head: readonly string[], rows: readonly string[][]): Block[] =>
  rows.length === 0 ? [] : [{ text: `\n${tableText(head, rows)}` }];

function folded(title: string, head: readonly string[], rows: readonly string[][]): Block[] {
  if (rows.length === 0) return [];
  const summary = plain(title);
  return [
    {
      text: `\n<details><summary>${summary}</summary>\n\n${tableText(head, rows)}\n</details>\n`,
      instead: `\n${summary} (not listed: too long for this comment).\n`,
    },
  ];
}

function tableText(head: readonly string[], rows: readonly string[][], isGrid = false): string {
  const shown = rows.slice(0, MOST_ROWS).map((row) => `| ${row.join(' | ')} |\n`);
  const rule = `|${head.map((title) => (NUMBERS.has(title) || isGrid ? '---:' : '---')).join('|')}|`;
  const more = rows.length > MOST_ROWS ? `\n… and ${rows.length - MOST_ROWS} more.\n` : '';
  return `| ${head.join(' | ')} |\n${rule}\n${shown.join('')}${more}`;
}

const MOST_COLUMNS = 16;

/** The changed cells of a table, collapsed; tables too wide to read are shown only in the HTML page. */
function gridBlock(change: Change): Block[] {
  const box = change.type === 'table' ? movedBox(change.grid) : undefined;
  if (!box || change.type !== 'table') return [];
  const [head, ...rows] = boxTable(change.grid, box) as [string[], ...string[][]];
  if (head.length > MOST_COLUMNS || rows.length > MOST_ROWS) return [];
  const title = plain(`${placeName(change.is)}: difference of each cell`);
  const cells = rows.map((row) => row.map(text));
  return [
    {
      text: `\n<details><summary>${title}</summary>\n\n${tableText(head.map(text), cells, true)}\n</details>\n`,
    },
  ];
}

const LONGEST_CELL = 300;

/** A text from a file on one line, with Markdown escaped, and of limited length. */
function text(from: string): string {
  const line = printable(from.replace(/\s+/g, ' '));
  return plain(line.length > LONGEST_CELL ? `${line.slice(0, LONGEST_CELL)}…` : line);
}
