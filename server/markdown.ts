/** A text whose characters Markdown would read as marks are escaped. */
export function plain(text: string): string {
  return text.replace(/[\\`*_{}[\]<>|#~$&]/g, '\\$&');
}

/** A text as code; a backtick in it is fenced off with more of them. */
export function code(text: string): string {
  const longest = Math.max(0, ...[...text.matchAll(/`+/g)].map(([run]) => run.length));
  const fence = '`'.repeat(longest + 1);
  const gap = longest > 0 ? ' ' : '';
  return `${fence}${gap}${text}${gap}${fence}`;
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
