import { type MarkupContent, MarkupKind } from 'vscode-languageserver';
import { maximumOf } from '../shared/extremes.ts';
import { printable } from './formats/layout.ts';

/** A text on one line, with Markdown characters escaped. */
export function plain(text: string): string {
  return onOneLine(text).replace(/[\\`*_{}[\]<>|#~$&]/g, '\\$&');
}

/** A text whose words between backticks are code, and in which nothing else is markup. */
export function prose(text: string): string {
  const parts = text.split('`');
  return parts.map((part, i) => (i % 2 === 0 || i === parts.length - 1 ? plain(part) : code(part))).join('');
}

/** A text as code on one line; a text with backticks gets a longer fence. */
export function code(text: string): string {
  const line = onOneLine(text);
  const longest = maximumOf([0, ...[...line.matchAll(/`+/g)].map(([run]) => run.length)]);
  const fence = '`'.repeat(longest + 1);
  const gap = longest > 0 ? ' ' : '';
  return `${fence}${gap}${line}${gap}${fence}`;
}

/** A line break could begin a Markdown block, such as a link or a remote image. */
function onOneLine(text: string): string {
  return printable(text.replace(/[\r\n\t\u2028\u2029]+/g, ' '));
}

export function bold(text: string): string {
  return `**${plain(text)}**`;
}

/** Paragraphs; missing ones are left out. */
export function paragraphs(...blocks: readonly (string | undefined)[]): string {
  return blocks.filter((block) => block !== undefined && block !== '').join('\n\n');
}

/** Lines of one paragraph; missing ones are left out. */
export function lines(...parts: readonly (string | undefined)[]): string {
  return parts.filter((part) => part !== undefined && part !== '').join('  \n');
}

/** A page as Markdown, or as plain text for an editor without Markdown. */
export function markup(page: string, showsMarks: boolean): MarkupContent {
  return showsMarks
    ? { kind: MarkupKind.Markdown, value: page }
    : { kind: MarkupKind.PlainText, value: withoutMarks(page) };
}

/** The plain text of a page that was made with these functions. */
function withoutMarks(page: string): string {
  return page
    .split('\n')
    .filter((line) => !BELOW_HEADS.test(line) && line !== '---')
    .map((line) => (line.startsWith('| ') ? line.slice(2, -2).replaceAll(' | ', '  ') : line))
    .map((line) => line.replace(MARK, (_mark, _fence, code, escaped) => code ?? escaped ?? '').trimEnd())
    .join('\n')
    .replace(/\n{3,}/g, '\n\n');
}

const BELOW_HEADS = /^\|(?: :?-+:? \|)+$/;
/** Inline code, an escaped character, or an emphasis mark. */
const MARK = /(`+)(.*?[^`])\1(?!`)|\\(.)|\*+/g;
