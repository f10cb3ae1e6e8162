import { changeArea } from '../../shared/compare/areas.ts';
import type { Change } from '../../shared/compare/change.ts';
import { isNear, passed } from '../../shared/compare/consequence-order.ts';
import { type FindingConsequence, isNewFinding } from '../../shared/compare/findings.ts';
import { ratioText } from '../../shared/compare/step.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { type Verdict, verdictOf, verdictText } from '../../shared/compare/verdict.ts';
import {
  changeText,
  commonLimit,
  findingWords,
  limitText,
  limitWords,
  placeName,
  roomText,
  valuePair,
  valuePlace,
} from '../../shared/compare/words.ts';
import { curveDrawing, mapDrawing } from './compare-drawing.ts';
import {
  type ComparedFile,
  type CompareReport,
  fileName,
  groupedBy,
  inheritedText,
  ownChanges,
  placeOfFinding,
  placeText,
  wholeOf,
} from './compare-report.ts';
import { COMPARE_STYLE } from './compare-style.ts';
import type { Format } from './format.ts';
import { html } from './html.ts';
import { counted } from './layout.ts';

/** One page that needs nothing beside it: the verdict, what follows, and every change with its delta map drawn. */
export const compareHtml: Format<CompareReport> = {
  name: 'html',
  write(report) {
    const whole = wholeOf(report);
    const verdict = verdictOf(whole);
    return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${html(report.old)} → ${html(report.new)}</title>
<style>${COMPARE_STYLE}</style>
</head>
<body>
<header>
<h1>What the change does to the engine</h1>
<p class="states">${html(report.old)} → ${html(report.new)}, ${counted(report.compared, 'file')} compared</p>
<p class="verdict ${verdict}"><span class="sign" aria-hidden="true">${SIGNS[verdict]}</span> ${html(verdictText(whole))}</p>
</header>
<main>
${report.files.map((file) => fileSection(file, report)).join('\n')}
</main>
</body>
</html>
`;
  },
};

const SIGNS: Readonly<Record<Verdict, string>> = { nothing: '✓', harmless: '✓', look: '!', stop: '✕' };

function fileSection(file: ComparedFile, report: CompareReport): string {
  const { consequences } = file.comparison;
  const { own, inherited } = ownChanges(file, report);
  const findings = consequences.filter((one) => one.type === 'finding');
  const values = consequences.filter((one) => one.type === 'value');
  const areas = [...groupedBy(own, changeArea)].map(([area, some]) => {
    return `<h3>${html(area)}</h3>\n${some.map(changeBlock).join('\n')}`;
  });
  const parts = [
    `<h2>${html(fileName(file))}</h2>`,
    report.files.length === 1
      ? ''
      : `<p class="verdict ${verdictOf(file.comparison)}">${html(verdictText(file.comparison))}</p>`,
    findings.length > 0 ? `<h3>Findings</h3>\n${findingList(file, findings)}` : '',
    values.length > 0 ? `<h3>What follows</h3>\n${valueTables(values)}` : '',
    inherited.length > 0 ? `<h3>Changes of its base</h3>\n<p>${html(inheritedText(inherited))}</p>` : '',
    ...areas,
  ];
  return `<section>\n${parts.filter(Boolean).join('\n')}\n</section>`;
}

function findingList(file: ComparedFile, findings: readonly FindingConsequence[]): string {
  const items = findings.map((consequence) => {
    const { finding, is, reason, rule, severity } = consequence;
    const state = (is === 'none' ? file.was : file.is)!;
    const kind = isNewFinding(consequence) ? severity : is === 'none' ? 'gone' : 'accepted';
    const why = reason === undefined ? '' : `<br>Accepted: ${html(reason)}`;
    const place = placeText(state, placeOfFinding(state, finding));
    return `<li class="finding ${kind}"><b>${html(findingWords(consequence))}</b> <code>${html(rule)}</code>
<span class="place">${html(place)}</span><br>${html(finding.message)}${why}</li>`;
  });
  return `<ul class="findings">\n${items.join('\n')}\n</ul>`;
}

const VALUE_HEAD = ['Where', 'Old', 'New', 'Change', 'Room to its limit'];

/** Values that came nearer to a limit, and the others folded away. */
function valueTables(values: readonly ValueConsequence[]): string {
  const near = values.filter(isNear);
  const others = values.filter((value) => !isNear(value));
  const folded = `<details><summary>${counted(others.length, 'other derived value')} moved</summary>
${valueTable(others)}
</details>`;
  return [near.length > 0 ? valueTable(near) : '', others.length > 0 ? folded : '']
    .filter(Boolean)
    .join('\n');
}

function valueTable(values: readonly ValueConsequence[]): string {
  const groups = [...groupedBy(values, ({ label }) => label)].map(([label, some]) => {
    const limit = commonLimit(some);
    const title = `<tr><th class="group" colspan="${VALUE_HEAD.length}" scope="rowgroup">${html(label)}${limit && `<span class="limit">${html(limit)}</span>`}</th></tr>`;
    const rows = some.map((value) => valueRow(value, limit === '' ? limitText(value) : ''));
    return `<tbody>\n${title}\n${rows.join('\n')}\n</tbody>`;
  });
  const head = VALUE_HEAD.map((title) => `<th scope="col">${title}</th>`).join('');
  return `<div class="scroll"><table class="values">\n<thead><tr>${head}</tr></thead>\n${groups.join('\n')}\n</table></div>`;
}

function valueRow(value: ValueConsequence, held: string): string {
  const [was, is] = valuePair(value);
  const { limit, step } = value;
  const room = [roomText(value), held, limit ? limitWords(limit) : ''].filter(Boolean).join(', ');
  const beyond = limit !== undefined && passed(limit) ? ' class="beyond"' : '';
  const numbers = [was, is, step ? ratioText(step) : ''].map(
    (text) => `<td class="number">${html(text)}</td>`,
  );
  return `<tr${beyond}><td>${html(valuePlace(value))}</td>${numbers.join('')}<td>${html(room)}</td></tr>`;
}

function changeBlock(change: Change): string {
  const line = `<p class="change"><b>${html(placeName((change.is ?? change.was)!))}</b> ${html(changeText(change))}</p>`;
  if (change.type !== 'table') return line;
  return `${line}\n${change.grid.y ? mapDrawing(change.grid) : curveDrawing(change.grid)}`;
}
