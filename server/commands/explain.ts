import { checkPage } from '../../shared/checks/page.ts';
import { allChecks, checkNamed, families } from '../../shared/checks/registry.ts';
import { hang, padEnd } from '../formats/layout.ts';
import { markdownText } from '../formats/markdown-text.ts';
import { plainText } from '../plain-text.ts';
import type { TextLayout } from '../terminal.ts';
import { didYouMean } from './call.ts';
import { type Command, UsageError } from './command.ts';

export const explain: Command = {
  options: {},
  description: `Prints the page of a check: what it reports, why that matters, an example, what to do, and the basis
of the check. Without an id, lists all checks.`,
  run({ operands, terminal }) {
    const [id, ...more] = operands;
    if (more.length > 0) throw new UsageError('`explain` takes one check id.');
    const check = id === undefined ? undefined : checkNamed(id);
    if (id !== undefined && !check) throw new UsageError(unknownCheck(id));
    terminal.out(check ? markdownText(checkPage(check), terminal) : listText(terminal));
    return 0;
  },
};

const MOST_NAMED = 5;

/** Suggests the checks whose ids share the most words with the given id, or the one that differs by a typing error. */
function unknownCheck(id: string): string {
  const all = allChecks.map((check) => check.id);
  const wanted = new Set(id.toLowerCase().split(/[^a-z0-9]+/));
  const likeness = (other: string) => other.split('-').filter((word) => wanted.has(word)).length;
  const near = all
    .filter((other) => likeness(other) > 0)
    .sort((a, b) => likeness(b) - likeness(a))
    .slice(0, MOST_NAMED);
  const hint =
    near.length > 0 ? ` Similar: ${near.map((one) => `\`${one}\``).join(', ')}.` : didYouMean(id, all);
  return `Unknown check \`${id}\`.${hint || ' `enginewright explain` lists all checks.'}`;
}

function listText({ style, width }: TextLayout): string {
  const column = Math.max(0, ...allChecks.map(({ id }) => id.length));
  const blocks = families.map(({ title, checks }) => {
    const lines = checks.map((check) =>
      hang(`  ${padEnd(check.id, column)}  `, plainText(check.title), width),
    );
    return `${style.bold(style.blue(title))}\n${lines.join('\n')}\n`;
  });
  return blocks.join('\n');
}
