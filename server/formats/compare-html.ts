import { listed } from '../../shared/checks/words.ts';
import { type BoundRow, boundGroups } from '../../shared/compare/bound-words.ts';
import type { BoundConsequence } from '../../shared/compare/bounds.ts';
import type { Change } from '../../shared/compare/change.ts';
import { isWorseBeyond } from '../../shared/compare/consequence-order.ts';
import type { WorseFault } from '../../shared/compare/fault-words.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { type Tally, type Verdict, verdictOf, verdictText } from '../../shared/compare/verdict.ts';
import {
  changePlace,
  changeText,
  commonLimit,
  limitSentence,
  valuePlace,
  valueTexts,
} from '../../shared/compare/words.ts';
import { counted } from '../../shared/counted.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { Html, html, prose } from '../html.ts';
import { curveDrawing, mapDrawing } from './compare-drawing.ts';
import {
  type ComparedFile,
  type CompareFormat,
  type FindingLine,
  fileName,
  fileSections,
  fileTally,
  findingLine,
  type Head,
  headOf,
} from './compare-report.ts';
import { COMPARE_STYLE } from './compare-style.ts';
import { policyFor } from './report-html/shell.ts';

/**
 * A single page: the verdict, the consequences, and every change, with drawings of changed maps and curves.
 */
export const compareHtml: CompareFormat<FilePart> = {
  part: (file) => ({
    name: fileName(file),
    verdict: fileVerdict(fileTally(file)),
    body: fileBody(file),
  }),
  write(report) {
    const { whole } = report;
    const head = headOf(report.files);
    const { own } = head;
    const verdict = verdictOf(whole);
    const states = `${report.old} → ${report.new}`;
    const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policyFor(COMPARE_STYLE)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${states}</title>
<style>${new Html(COMPARE_STYLE)}</style>
</head>
<body>
<header>
<h1>Consequences of a change</h1>
<p class="states">${states}, ${counted(report.compared, 'file')} compared</p>
<p class="verdict ${verdict}"><span aria-hidden="true">${SIGNS[verdict]}</span> ${verdictText(whole)}</p>
</header>
<main>
${installations(head)}${own.map(({ part }, i) => fileSection(part, i, own.length === 1))}</main>
</body>
</html>
`;
    return page.text;
  },
};

/** A row for each file with differences, the worst first; overlays with the consequences of their base file share one. */
function installations({ own, alike }: Head<FilePart>): Html | undefined {
  if (own.length + alike.size < 2) return undefined;
  const rows = own.map(({ name, tally }, i) => {
    const verdict = verdictOf(tally);
    return html`<tr class="${verdict}"><td><a href="#file-${i + 1}">${name}</a></td>
<td><span aria-hidden="true">${SIGNS[verdict]}</span> ${verdictText(tally)}</td></tr>
`;
  });
  const others = [...alike].map(
    ([bases, names]) => html`<tr><td>${listed(names)}</td><td>as ${bases}</td></tr>
`,
  );
  return html`<div class="scroll"><table class="values files">
<thead><tr><th scope="col">File</th><th scope="col">Verdict</th></tr></thead>
<tbody>${rows}${others}</tbody></table></div>
`;
}

/** No sign says that all is well: that nothing was found is no proof. */
const SIGNS: Readonly<Record<Verdict, string>> = { nothing: '·', harmless: '·', look: '!', stop: '✕' };

interface FilePart {
  readonly name: string;
  readonly verdict: Html;
  readonly body: Html;
}

function fileSection({ name, verdict, body }: FilePart, index: number, isOnly: boolean): Html {
  return html`<section id="file-${index + 1}">
<h2>${name}</h2>
${isOnly ? undefined : verdict}
${body}</section>
`;
}

function fileBody(file: ComparedFile): Html {
  const { findings, near, conditional, others, nearBounds, otherBounds, faults, inherited, areas } =
    fileSections(file);
  const lines = findings.map((finding) => findingLine(file, finding));
  const changes = [...areas].map(([area, some]) => html`<h3>${area}</h3>\n${some.map(changeBlock)}`);
  return html`${changes}
${inherited === '' ? undefined : html`<h3>In base files</h3><p>${inherited}</p>`}
${lines.length > 0 ? findingList(lines) : undefined}
${near.length + conditional.length + others.length > 0 ? html`<h3>Derived values</h3>` : undefined}
${near.length + conditional.length > 0 ? valueTable([...near, ...conditional]) : undefined}
${others.length > 0 ? foldedValues(others) : undefined}
${nearBounds.length + otherBounds.length > 0 ? html`<h3>Bounds over all states of the envelope</h3>` : undefined}
${nearBounds.length > 0 ? boundTable(nearBounds) : undefined}
${otherBounds.length > 0 ? foldedBounds(otherBounds) : undefined}
${faults.length > 0 ? html`<h3>Single faults made worse</h3>${faultTable(faults)}` : undefined}`;
}

function fileVerdict(tally: Tally): Html {
  return html`<p class="verdict ${verdictOf(tally)}">${verdictText(tally)}</p>`;
}

function findingList(findings: readonly FindingLine[]): Html {
  const items = findings.map(
    ({
      words,
      rule,
      place,
      message,
      reason,
      kind,
    }) => html`<li class="finding ${kind}"><b>${words}</b> <code>${rule}</code>
<span class="place">${place}</span><br>${message}
${reason === undefined ? undefined : html`<br>Accepted: ${reason}`}</li>
`,
  );
  return html`<h3>Findings</h3>\n<ul class="findings">\n${items}</ul>`;
}

function foldedValues(values: readonly ValueConsequence[]): Html {
  return html`<details><summary>${counted(values.length, 'other derived value')} changed</summary>
${valueTable(values)}
</details>`;
}

const VALUE_HEAD = ['Where', 'Old', 'New', 'Change', 'Margin to limit'];

function valueTable(values: readonly ValueConsequence[]): Html {
  const texts = valueTexts(values);
  const groups = [...groupedBy(values, ({ label }) => label)].map(([label, some]) => {
    const limit = commonLimit(some);
    const rows = some.map((value) => valueRow(value, texts.get(value)!, limit));
    return html`<tbody>
<tr><th class="group" colspan="${VALUE_HEAD.length}" scope="rowgroup">${label}
<span class="limit">${limit}</span></th></tr>
${rows}</tbody>
`;
  });
  return groupedTable(groups);
}

function groupedTable(groups: readonly Html[]): Html {
  const head = VALUE_HEAD.map((title) => html`<th scope="col">${title}</th>`);
  return html`<div class="scroll"><table class="values">
<thead><tr>${head}</tr></thead>
${groups}</table></div>`;
}

function valueRow(value: ValueConsequence, texts: readonly string[], known: string): Html {
  const kind = isWorseBeyond(value) ? 'beyond' : 'within';
  const numbers = texts.map((text) => html`<td class="number">${text}</td>`);
  return html`<tr class="${kind}"><td>${valuePlace(value)}</td>${numbers}<td>${limitSentence(value, known)}</td></tr>\n`;
}

function foldedBounds(bounds: readonly BoundConsequence[]): Html {
  return html`<details><summary>${counted(bounds.length, 'other bound')} moved</summary>
${boundTable(bounds)}
</details>`;
}

function boundTable(bounds: readonly BoundConsequence[]): Html {
  const groups = boundGroups(bounds).map(
    ({ label, limit, rows }) => html`<tbody>
<tr><th class="group" colspan="${VALUE_HEAD.length}" scope="rowgroup">${label}
<span class="limit">${limit}</span></th></tr>
${rows.map(boundTableRow)}</tbody>
`,
  );
  return groupedTable(groups);
}

function boundTableRow({ place, was, is, moved, sentence, isBroken }: BoundRow): Html {
  const numbers = [was, is, moved].map((text) => html`<td class="number">${text}</td>`);
  const kind = isBroken ? 'beyond' : 'within';
  return html`<tr class="${kind}"><td>${place}</td>${numbers}<td>${sentence}</td></tr>\n`;
}

function faultTable(faults: readonly WorseFault[]): Html {
  const heads = ['Fails', 'How', 'Severity', 'Why'].map((title) => html`<th scope="col">${title}</th>`);
  const rows = faults.map(
    ({ of, how, severity, text, isSevere }) =>
      html`<tr class="${isSevere ? 'beyond' : 'within'}"><td><code>${of}</code></td><td>${how}</td><td>${severity}</td><td>${prose(text)}</td></tr>\n`,
  );
  return html`<div class="scroll"><table class="values faults">
<thead><tr>${heads}</tr></thead>
<tbody>${rows}</tbody></table></div>`;
}

function changeBlock(change: Change): Html {
  const drawing =
    change.type === 'table'
      ? change.grid.y
        ? mapDrawing(change.grid)
        : curveDrawing(change.grid)
      : undefined;
  return html`<p class="change"><b>${changePlace(change)}</b> ${changeText(change)}</p>\n${drawing}\n`;
}
