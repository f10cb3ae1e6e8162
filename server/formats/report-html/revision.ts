import { version } from '../../../package.json';
import { html } from '../../html.ts';
import type { Revision } from '../../revision.ts';
import type { Chapter } from './dossier.ts';

/** `commit 1a2b3c4d5e6f with uncommitted changes` */
export function revisionText({ commit, files }: Revision): string {
  if (!commit) return `not under version control, SHA-256 ${files[0]!.sha256.slice(0, 12)}`;
  const changed = files.some(({ committed }) => !committed);
  return `commit ${commit.id.slice(0, 12)}${changed ? ' with uncommitted changes' : ''}`;
}

export function revisionChapter({ commit, files }: Revision): Chapter {
  const rows = files.map(({ name, sha256, committed }) => {
    const state =
      committed === undefined
        ? 'not under version control'
        : committed
          ? 'committed'
          : 'changed since the commit';
    return html`<tr><th scope="row">${name}</th><td>${state}</td>
<td class="hash"><code>${sha256}</code></td></tr>\n`;
  });
  const made = commit ? html`<p>Commit <code>${commit.id}</code>, ${commit.time}.</p>` : undefined;
  const body = html`${made}<table class="list"><thead><tr><th scope="col">File</th><th scope="col">State</th>
<th scope="col">SHA-256 of the text</th></tr></thead><tbody>${rows}</tbody></table>
<p>Created by Enginewright ${version}.</p>`;
  return { id: 'revision', title: 'Source revision', body };
}
