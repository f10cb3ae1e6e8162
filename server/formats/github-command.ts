import type { Severity } from '../../shared/checks/check.ts';
import { readablePath } from '../files.ts';
import type { LocatedPlace } from './check-report.ts';
import { visible } from './layout.ts';

/**
 * Workflow commands of GitHub Actions, which become annotations at the lines of a pull request
 * (https://docs.github.com/actions/reference/workflow-commands-for-github-actions).
 */
const COMMANDS: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  information: 'notice',
  hint: 'notice',
};

export interface Annotation {
  readonly severity: Severity;
  readonly title: string;
  readonly text: string;
  /** Absent if it belongs to no line. */
  readonly place?: Pick<LocatedPlace, 'file' | 'range'>;
}

export function annotationLine({ severity, title, text, place }: Annotation): string {
  return command(COMMANDS[severity], { ...(place && placeProperties(place)), title }, text);
}

function placeProperties({ file, range: { start, end } }: Pick<LocatedPlace, 'file' | 'range'>) {
  const lines = {
    file: readablePath(file.path),
    line: start.line + 1,
    endLine: end.line + 1,
    col: start.character + 1,
  };
  // An end column is allowed only on one line, and is inclusive.
  if (start.line !== end.line) return lines;
  return { ...lines, endColumn: Math.max(end.character, start.character + 1) };
}

function command(name: string, properties: Readonly<Record<string, string | number>>, text: string): string {
  const written = Object.entries(properties).map(([key, value]) => `${key}=${property(String(value))}`);
  return `::${name} ${written.join(',')}::${data(text)}\n`;
}

/** A line end would end the command, and `%` begins an escape sequence. */
function data(text: string): string {
  const lines = text.split('\n').map(visible).join('\n');
  return lines.replaceAll('%', '%25').replaceAll('\r', '%0D').replaceAll('\n', '%0A');
}

function property(text: string): string {
  return data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
