import { type Content, type Html, html } from '../../html.ts';
import type { PaperSource } from './dossier.ts';
import { revisionText } from './revision.ts';
import { writtenText } from './written.ts';

/** Begins the cautions of every document. */
export const GENERATED = 'This document is generated from the configuration and is advisory.';

/** The name of the installation; of the file if it has no title. */
export const installationName = ({ name, analysis }: PaperSource): string =>
  writtenText(analysis.installation.configuration.title) || name;

/** The head of a document, with the revision that it holds for. */
export function headerHtml(source: PaperSource, heading: string, more?: Content): Html {
  const { name, analysis, revision } = source;
  const { revision: counted } = analysis.installation.configuration;
  return html`<header>
<h1>${heading}</h1>
<p class="head">${counted ? `Revision ${writtenText(counted)} · ` : ''}${name} · ${revisionText(revision)}</p>
${more}</header>
`;
}
