import { paperPath, projectPath } from '../files.ts';
import { html } from '../html.ts';
import type { FaultsReport } from './faults-report.ts';
import type { Format } from './format.ts';
import { faultTableHtml } from './report-html/faults.ts';
import { pageText } from './report-html/shell.ts';

/** A page to print: the same table as in the report. */
export const faultsHtml: Format<FaultsReport> = {
  write: ({ files }) =>
    pageText(
      'Fault table',
      html`<h1>Fault table</h1>
${files.map(({ name, rows }) => html`<section><h2>${paperPath(projectPath(name))}</h2>${faultTableHtml(rows)}</section>\n`)}`,
    ),
};
