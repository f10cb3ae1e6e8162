import { capped } from '../../shared/checks/capped.ts';
import type { Severity } from '../../shared/checks/check.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { folded } from '../../shared/checks/folded.ts';
import { counted } from '../../shared/counted.ts';
import { plainText } from '../plain-text.ts';
import type { Style, TextLayout } from '../terminal.ts';
import { type CheckedFile, type CheckReport, type LocatedPlace, locate } from './check-report.ts';
import type { Format } from './format.ts';
import { crop, hang, padStart, printable } from './layout.ts';

/** For people: each finding with its place and line, then the accepted findings and a summary. */
export const checkText: Format<CheckReport> = {
  write({ files }, paper) {
    if (files.length === 0) return '';
    const blocks = files.flatMap((checked) =>
      capped(checked.analysis.findings).map((finding) => findingBlock(checked, finding, paper)),
    );
    const accepted = files.flatMap((checked) => acceptedLines(checked, paper));
    if (accepted.length > 0) blocks.push(accepted.join(''));
    return [...blocks, summary(files, paper.style)].join('\n');
  },
};

const PAINT: Readonly<Record<Severity, keyof Style>> = {
  error: 'red',
  warning: 'yellow',
  information: 'blue',
  hint: 'dim',
};

const INDENT = '  ';

function findingBlock(checked: CheckedFile, finding: Finding, paper: TextLayout): string {
  const { style, width } = paper;
  const place = locate(checked, finding);
  const severity = style.bold(style[PAINT[finding.severity]](finding.severity));
  const lines = [
    `${style.bold(placeText(place))}  ${severity}  ${style.cyan(finding.rule)}`,
    ...excerpt(place, style[PAINT[finding.severity]], paper),
    hang(INDENT, printable(plainText(finding.message)), width),
  ];
  for (const related of finding.related) {
    lines.push(
      hang(
        INDENT,
        `see ${placeText(locate(checked, related))}: ${printable(plainText(related.message))}`,
        width,
      ),
    );
  }
  for (const { title, safety } of finding.fixes) {
    const fix = hang(`${INDENT}fix: `, printable(plainText(title)), width);
    lines.push(safety === 'safe' ? style.green(fix) : fix);
  }
  return `${lines.join('\n')}\n`;
}

function placeText({ name, range: { start } }: LocatedPlace): string {
  return `${printable(name)}:${start.line + 1}:${start.character + 1}`;
}

/** The first line of the range with its number, and carets under the range. */
function excerpt(
  { file, range }: LocatedPlace,
  paint: (text: string) => string,
  paper: TextLayout,
): string[] {
  const { style, width } = paper;
  const line = file.lines.line(range.start.line);
  const end = range.end.line === range.start.line ? range.end.character : line.length;
  const number = padStart(String(range.start.line + 1), 5);
  const { text, before, marked } = crop(line, range.start.character, end, width - number.length - 3);
  return [
    `${style.dim(`${number} │`)} ${text}`,
    `${style.dim(`${padStart('', number.length)} │`)} ${' '.repeat(before)}${paint('^'.repeat(marked))}`,
  ];
}

function acceptedLines(checked: CheckedFile, { style, width }: TextLayout): string[] {
  return checked.analysis.accepted.map(({ finding, reason }) => {
    const head = `${placeText(locate(checked, finding))}  accepted  ${finding.rule}`;
    return `${style.dim(head)}\n${style.dim(hang(INDENT, printable(reason), width))}\n`;
  });
}

const SEVERITIES: readonly Severity[] = ['error', 'warning', 'information', 'hint'];

/** `4 files checked: 2 errors and 1 warning in 1 file. 1 finding accepted.`, then the command that explains more. */
function summary(files: readonly CheckedFile[], style: Style): string {
  const accepted = files.reduce((sum, { analysis }) => sum + analysis.accepted.length, 0);
  const also = accepted > 0 ? ` ${counted(accepted, 'finding')} accepted.` : '';
  const lines = [`${counted(files.length, 'file')} checked: ${result(files, style)}.${also}`];
  const findings = files.flatMap(({ analysis }) => folded(analysis.findings));
  const worst = SEVERITIES.flatMap(
    (severity) => findings.find((finding) => finding.severity === severity) ?? [],
  );
  if (worst[0]) lines.push(style.dim(`Run 'enginewright explain ${worst[0].rule}' for an explanation.`));
  return `${lines.join('\n')}\n`;
}

function result(files: readonly CheckedFile[], style: Style): string {
  const findings = files.flatMap(({ analysis }) => folded(analysis.findings));
  if (findings.length === 0) return style.green('no findings');
  const counts = SEVERITIES.flatMap((severity) => {
    const count = findings.filter((finding) => finding.severity === severity).length;
    if (count === 0) return [];
    const words = severity === 'information' ? `${count} information` : counted(count, severity);
    return [style[PAINT[severity]](words)];
  });
  const grave = findings.some(({ severity }) => severity === 'error' || severity === 'warning');
  const most = grave ? '' : style.green('no errors or warnings, ');
  const withFindings = files.filter(({ analysis }) => analysis.findings.length > 0).length;
  return `${most}${joined(counts)}${files.length === 1 ? '' : ` in ${counted(withFindings, 'file')}`}`;
}

function joined(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}
