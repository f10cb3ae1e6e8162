import type { Content, Html } from '../../html.ts';
import { html } from '../../html.ts';
import type { PaperSource } from '../report-html/dossier.ts';
import { headerHtml, installationName } from '../report-html/header.ts';
import { pageText } from '../report-html/shell.ts';

/** A part of a paper with its heading. */
export interface Part {
  readonly title: string;
  readonly body: Content;
}

/** A paper for one reader, with the revision that it holds for. */
export function paperText(
  source: PaperSource,
  title: string,
  parts: readonly (Part | undefined)[],
  className = '',
): string {
  const heading = installationName(source);
  const written = parts.filter((part) => part !== undefined);
  return pageText(
    `${heading}: ${title}`,
    html`${headerHtml(source, `${heading}: ${title.toLowerCase()}`)}<main class="${className}">
${written.map(({ title: head, body }) => html`<section><h2>${head}</h2>\n${body}\n</section>\n`)}</main>`,
  );
}

/** A table with its column headings. */
export const listTable = (
  heads: readonly string[],
  rows: readonly (readonly Content[])[],
  className = '',
): Html =>
  html`<div class="wide"><table class="list ${className}"><thead><tr>${heads.map(
    (head) => html`<th scope="col">${head}</th>`,
  )}</tr></thead><tbody>${rows.map(
    ([first, ...others]) =>
      html`<tr><th scope="row">${first}</th>${others.map((cell) => html`<td>${cell}</td>`)}</tr>\n`,
  )}</tbody></table></div>`;

/** To be filled in by hand. */
export const BLANK = html`<span class="blank"></span>`;
export const BOX = html`<span class="box"></span>`;
