import type { Check, Setting } from '../../shared/checks/check.ts';
import { checkNamed, families } from '../../shared/checks/registry.ts';
import { hang, padEnd } from '../formats/layout.ts';
import type { Paper } from '../terminal.ts';
import { type Command, Refusal } from './command.ts';

export const explain: Command = {
  options: {},
  description: `Prints the page of one check: what it catches, why that matters, an example, what to do, and what the
check is based on. Without an id it lists every check.`,
  run({ operands, terminal }) {
    const [id, ...more] = operands;
    if (more.length > 0) throw new Refusal('`explain` needs one id of a check.');
    const check = id === undefined ? undefined : checkNamed(id);
    if (id !== undefined && !check) throw new Refusal(unknownCheck(id));
    terminal.out(check ? pageText(check, terminal) : listText(terminal));
    return 0;
  },
};

function unknownCheck(id: string): string {
  const words = id
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word.length > 3);
  const like = families
    .flatMap(({ checks }) => checks)
    .filter((check) => words.some((word) => check.id.includes(word)))
    .map((check) => `\`${check.id}\``);
  const hint = like.length > 0 ? `Near it: ${like.slice(0, 5).join(', ')}.` : '';
  return `There is no check \`${id}\`. ${hint || '`enginewright explain` lists all.'}`;
}

function pageText(check: Check, paper: Paper): string {
  const { style } = paper;
  const { catches, why, example, remedy, basis } = check.page;
  const section = (title: string, text: string) =>
    `${style.bold(style.blue(title))}\n${paragraphs(text, paper)}\n`;
  const settings = Object.entries(check.settings ?? {});
  const sections = [
    `${style.bold(check.id)}  ${check.severity}\n${hang('', check.title, paper.width)}\n`,
    section('What it catches', catches),
    section('Why it matters', why),
    `${style.bold(style.blue('Example'))}\n${indented(example)}\n`,
    section('What to do', remedy),
    section('Basis', basis),
  ];
  if (settings.length > 0) {
    sections.push(`${style.bold(style.blue('Thresholds'))}\n${settingsText(check.id, settings, paper)}\n`);
  }
  return sections.join('\n');
}

function settingsText(id: string, settings: readonly [string, Setting][], { width }: Paper): string {
  const lines = settings.map(([name, { value, meaning }]) => hang(`  ${name}: ${value}  `, meaning, width));
  const [name, { value }] = settings[0]!;
  const own = `checks:\n  ${id}: { ${name}: ${value}, reason: … }`;
  return `${lines.join('\n')}\n\n  A file sets its own, with the reason:\n\n${indented(own)}`;
}

/** Texts of pages are wrapped at blanks; an empty line parts paragraphs. */
function paragraphs(text: string, { width }: Paper): string {
  return text
    .trim()
    .split(/\n\s*\n/)
    .map((paragraph) => hang('  ', paragraph.replace(/\s*\n\s*/g, ' '), width))
    .join('\n\n');
}

function indented(text: string): string {
  return text.trimEnd().replace(/^(?=.)/gm, '    ');
}

function listText({ style, width }: Paper): string {
  const blocks = families.map(({ title, checks }) => {
    const column = Math.max(0, ...checks.map(({ id }) => id.length));
    const lines = checks.map((check) => hang(`  ${padEnd(check.id, column)}  `, check.title, width));
    return `${style.bold(style.blue(title))}\n${lines.join('\n')}\n`;
  });
  return blocks.join('\n');
}
