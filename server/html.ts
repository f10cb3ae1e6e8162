/**
 * A piece of HTML that is well formed by itself. Only the tag below makes one, so whatever else is put in
 * is text.
 */
export class Html {
  constructor(readonly text: string) {}
}

/**
 * What may stand in a template: text is escaped, pieces and lists of them are put in, nothing stays
 * nothing.
 */
export type Content = Html | string | number | undefined | readonly Content[];

/** `` html`<td>${text}</td>` ``: attributes must be quoted where a value is put into them. */
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
 * A control character or a mark of writing direction could make a page show another text than the file
 * holds.
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
