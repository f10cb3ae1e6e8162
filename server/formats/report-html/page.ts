import { type Html, html } from '../../html.ts';
import { boundsChapter } from './bounds.ts';
import { busChapter } from './bus.ts';
import type { Chapter, ChapterMaker, Dossier } from './dossier.ts';
import { engineChapter, mapSetsChapter } from './engine.ts';
import { faultsChapter } from './faults.ts';
import { findingsChapter, findingsSummary } from './findings.ts';
import { GENERATED, headerHtml, installationName } from './header.ts';
import { limitsChapter } from './limits.ts';
import { revisionChapter } from './revision.ts';
import { sensorsChapter } from './sensors.ts';
import { pageText } from './shell.ts';
import { tablesChapter } from './tables.ts';
import { pointsChapter, workingChapter } from './values.ts';
import { pinsChapter, standbyChapter, wiresChapter } from './wiring.ts';

const CHAPTERS: readonly ChapterMaker[] = [
  findingsChapter,
  pointsChapter,
  boundsChapter,
  limitsChapter,
  faultsChapter,
  engineChapter,
  mapSetsChapter,
  tablesChapter,
  pinsChapter,
  standbyChapter,
  wiresChapter,
  sensorsChapter,
  busChapter,
  workingChapter,
  ({ revision }) => revisionChapter(revision),
];

/**
 * The report of one installation as a single page. The same files give the same page.
 */
export function dossierPage(dossier: Dossier): string {
  const heading = installationName(dossier);
  const chapters = CHAPTERS.flatMap((make) => make(dossier) ?? []);
  return pageText(
    heading,
    html`${headerHtml(dossier, heading, html`<p>${findingsSummary(dossier.analysis)}.</p>\n`)}${CAUTIONS}
<nav aria-label="Chapters"><ol>${chapters.map(contentsLine)}</ol></nav>
${chapters.map(chapterText)}`,
  );
}

const CAUTIONS = html`<section class="cautions"><h2>Before you rely on this report</h2><ul>
<li>${GENERATED} Approval, national regulations and a licensed person decide what may fly.</li>
<li>Run a new configuration first on a restrained engine, with a person at the fuel valve.</li>
<li>No findings means that these checks found nothing. It does not prove that the engine is safe.</li>
<li>Derived values are computed from the files, not measured. Power is estimated from fuel flow and the stated
specific consumption.</li>
<li>The report is valid only for the texts listed under <a href="#revision">source revision</a>.</li>
</ul></section>`;

function contentsLine({ id, title }: Chapter): Html {
  return html`<li><a href="#${id}">${title}</a></li>\n`;
}

function chapterText({ id, title, body }: Chapter): Html {
  return html`<section id="${id}">\n<h2>${title}</h2>\n${body}\n</section>\n`;
}
