import type { Severity } from '../../shared/checks/check.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { readablePath } from '../files.ts';
import { type CheckedFile, type CheckReport, locate } from './check-report.ts';
import type { Format } from './format.ts';
import { printable } from './layout.ts';

/**
 * Workflow commands of GitHub Actions: each finding becomes an annotation at its line of a pull request
 * (https://docs.github.com/actions/reference/workflow-commands-for-github-actions). Accepted and known
 * findings are not annotated.
 */
export const checkGithub: Format<CheckReport> = {
  name: 'github',
  write({ files, problems = [] }) {
    const lines = [
      ...files.flatMap((file) => file.analysis.findings.map((finding) => annotation(file, finding))),
      ...problems.map((problem) => command('error', { title: 'not checked' }, problem)),
    ];
    return lines.map((line) => `${line}\n`).join('');
  },
};

const COMMANDS: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  information: 'notice',
  hint: 'notice',
};

function annotation(checked: CheckedFile, finding: Finding): string {
  const { file, range } = locate(checked, finding);
  const { start, end } = range;
  const place = {
    file: readablePath(file.path),
    line: start.line + 1,
    endLine: end.line + 1,
    col: start.character + 1,
  };
  // An end column is taken only where the annotation stays on one line; it is the last one that belongs.
  const stretch = start.line === end.line ? { endColumn: Math.max(end.character, start.character + 1) } : {};
  const related = finding.related.map((one) => {
    const other = locate(checked, one);
    return `\nsee ${other.name}:${other.range.start.line + 1}: ${one.message}`;
  });
  const properties = { ...place, ...stretch, title: finding.rule };
  return command(COMMANDS[finding.severity], properties, [finding.message, ...related].join(''));
}

function command(name: string, properties: Readonly<Record<string, string | number>>, text: string): string {
  const written = Object.entries(properties).map(([key, value]) => `${key}=${property(String(value))}`);
  return `::${name} ${written.join(',')}::${data(text)}`;
}

/** What ends a line would end the command, and `%` begins an escape. */
function data(text: string): string {
  const lines = text.split('\n').map(printable).join('\n');
  return lines.replaceAll('%', '%25').replaceAll('\r', '%0D').replaceAll('\n', '%0A');
}

function property(text: string): string {
  return data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
