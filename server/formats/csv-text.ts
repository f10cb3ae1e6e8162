/** Rows of comma-separated values (RFC 4180). A text that a spreadsheet would take for a formula gets a leading apostrophe. */
export const csvText = (rows: readonly (readonly (string | number)[])[]): string =>
  rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');

function cell(content: string | number): string {
  if (typeof content === 'number') return String(content);
  const text = /^[=+\-@\t\r]/.test(content) ? `'${content}` : content;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
