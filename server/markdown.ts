import { maximumOf } from '../shared/extremes.ts';
import { printable } from './formats/layout.ts';

/** A text on one line, whose characters Markdown would read as marks are escaped. */
export function plain(text: string): string {
  return onOneLine(text).replace(/[\\`*_{}[\]<>|#~$&]/g, '\\$&');
}

/** A text as code on one line; a backtick in it is fenced off with more of them. */
export function code(text: string): string {
  const line = onOneLine(text);
  const longest = maximumOf([0, ...[...line.matchAll(/`+/g)].map(([run]) => run.length)]);
  const fence = '`'.repeat(longest + 1);
  const gap = longest > 0 ? ' ' : '';
  return `${fence}${gap}${line}${gap}${fence}`;
}

/** A line of its own could begin a block, which ends code and whatever else it stands in: a link, a picture from afar. */
function onOneLine(text: string): string {
  return printable(text.replace(/[\r\n\t\u2028\u2029]+/g, ' '));
}

export function bold(text: string): string {
  return `**${plain(text)}**`;
}

/** Paragraphs, with those left out that are wanting. */
export function paragraphs(...blocks: readonly (string | undefined)[]): string {
  return blocks.filter((block) => block !== undefined && block !== '').join('\n\n');
}

/** Lines of one paragraph, each on a line of its own. */
export function lines(...parts: readonly (string | undefined)[]): string {
  return parts.filter((part) => part !== undefined && part !== '').join('  \n');
}
