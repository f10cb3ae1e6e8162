import { type MarkupContent, MarkupKind } from 'vscode-languageserver/node';
import { maximumOf } from '../shared/extremes.ts';
import { printable } from './formats/layout.ts';

/** A text on one line, whose characters Markdown would read as marks are escaped. */
export function plain(text: string): string {
  return onOneLine(text).replace(/[\\`*_{}[\]<>|#~$&]/g, '\\$&');
}

/** A text whose words between backticks are code, and in which nothing else is a mark. */
export function prose(text: string): string {
  const parts = text.split('`');
  return parts.map((part, i) => (i % 2 === 0 || i === parts.length - 1 ? plain(part) : code(part))).join('');
}

/** A text as code on one line; a backtick in it is fenced with more of them. */
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

/** A page for an editor that shows text alone unless it said that it knows marks. */
export function markup(page: string, showsMarks: boolean): MarkupContent {
  return showsMarks
    ? { kind: MarkupKind.Markdown, value: page }
    : { kind: MarkupKind.PlainText, value: withoutMarks(page) };
}

/** What a page made with these functions says, its marks left out. */
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
/** Code between its fences, a character that a backslash keeps from being a mark, a mark. */
const MARK = /(`+)(.*?[^`])\1(?!`)|\\(.)|\*+/g;
