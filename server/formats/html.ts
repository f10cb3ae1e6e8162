import { printable } from './layout.ts';

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** A text as it may stand in an element or in a quoted attribute. */
export function html(text: string): string {
  return printable(text).replace(/[&<>"']/g, (character) => ESCAPES[character]!);
}
