/**
 * A well-formed piece of HTML. Only the template tag below creates one; anything else in a template is text.
 */
export class Html {
  constructor(readonly text: string) {}
}

/**
 * The values in a template: text is escaped, pieces and lists are inserted, undefined becomes nothing.
 */
export type Content = Html | string | number | undefined | readonly Content[];

/** `` html`<td>${text}</td>` ``: quote attributes that contain a value. */
export function html(parts: TemplateStringsArray, ...contents: readonly Content[]): Html {
  return new Html(parts.map((part, i) => (i === 0 ? part : htmlText(contents[i - 1]) + part)).join(''));
}

function htmlText(content: Content): string {
  if (content === undefined) return '';
  if (content instanceof Html) return content.text;
  if (Array.isArray(content)) return content.map(htmlText).join('');
  return escaped(String(content));
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * Control characters and direction marks could make a page show a text that differs from the file.
 */
function escaped(text: string): string {
  return text
    .replace(/[^\P{Cc}\t\n]|\p{Surrogate}|[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, '\ufffd')
    .replace(/[&<>"']/g, (mark) => ENTITIES[mark]!);
}

/** A text with the words between backticks as code. */
export function prose(text: string): Content {
  return text.split('`').map((part, i) => (i % 2 === 1 ? html`<code>${part}</code>` : part));
}
