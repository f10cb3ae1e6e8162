import { readFileSync, writeFileSync } from 'node:fs';
import { CURVE_FAULTS, FAULTS } from './planted.ts';
import { type Alarms, alarmsIn, type Recall, recallIn } from './recall.ts';

const MARK = '<!-- the last run -->';
const PLACES = ['inside', 'second', 'edge', 'few lines'] as const;

/** The false alarms as a section of the page. */
function alarmLines({ tables, lines, byCheck, byKind }: Alarms): string[] {
  return [
    '',
    '### False alarms',
    '',
    `In ${tables} sound tables, ${lines} have a finding of a check of lines or axes: one in ${Math.round(tables / Math.max(1, lines))}.`,
    '',
    '| check | findings |',
    '|---|--:|',
    ...[...byCheck].sort().map(([check, number]) => `| \`${check}\` | ${number} |`),
    '',
    `They are in: ${[...byKind].map(([kind, number]) => `${kind} (${number})`).join('; ') || 'none'}.`,
  ];
}

function recallLines(all: readonly Recall[]): string[] {
  const rows = [...FAULTS, ...CURVE_FAULTS].flatMap((fault) => {
    const own = all.filter((one) => one.fault === fault);
    const sizes = [...new Set(own.map(({ size }) => size))].sort((a, b) => rankOf(a) - rankOf(b));
    return sizes.map((size) => {
      const cells = PLACES.map((where) => own.find((one) => one.size === size && one.where === where));
      return `| ${fault} | ${size} | ${cells.map(cellText).join(' | ')} |`;
    });
  });
  return [
    '',
    '### Faults found',
    '',
    `| fault | size | ${PLACES.join(' | ')} |`,
    `|---|---|${PLACES.map(() => '--:').join('|')}|`,
    ...rows,
  ];
}

const cellText = (one: Recall | undefined): string =>
  one ? `${Math.round((100 * one.found) / one.planted)} % of ${one.planted}` : '';

/** `under 2 %` before `2 to 5 %` before `5 to 10 %` before `over 10 %`. */
const rankOf = (size: string): number => Number(/\d+/.exec(size)![0]) + (size.startsWith('under') ? -1 : 0);

const [count = 40, page] = [Number(process.argv[2]), process.argv[3]];
const text = [
  `With \`npm run tables -- ${count}\`.`,
  ...alarmLines(alarmsIn(count)),
  // Each sound table is planted with some twenty faults.
  ...recallLines(recallIn(Math.ceil(count / 4))),
].join('\n');
console.log(text);
if (page) {
  const [before] = readFileSync(page, 'utf8').split(MARK);
  writeFileSync(page, `${before}${MARK}\n\n${text}\n`);
}
