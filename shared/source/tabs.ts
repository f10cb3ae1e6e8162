import type { YAMLError } from 'yaml';
import { firstAt } from './change.ts';

/** Indentation with tabs, where YAML allows only spaces, and the spaces that replace it. */
export interface TabRepair {
  readonly start: number;
  readonly end: number;
  readonly spaces: string;
}

/**
 * Replacements for the tabs that indent lines; empty if the parser reports none. A line below a key that opens a block
 * is indented one step further; any other line is not indented further than the line above.
 */
export function tabRepairs(text: string, errors: readonly YAMLError[]): TabRepair[] {
  const faults = errors.filter(
    ({ code, pos }) =>
      code === 'TAB_AS_INDENT' || (code === 'BAD_INDENT' && indentBefore(text, pos[0]).includes('\t')),
  );
  if (faults.length === 0) return [];
  const lines = indentedLines(text);
  const starts = new Set(lines.map(({ start }) => start));
  // Tabs after the dash of a list item are also wrong; only the parser finds those.
  const others = faults
    .filter(({ code, pos }) => code === 'TAB_AS_INDENT' && !starts.has(lineStart(text, pos[0])))
    .map(({ pos: [start, end] }) => ({ start, end, spaces: ' '.repeat(end - start) }));
  return [...lines, ...others].sort((a, b) => a.start - b.start);
}

const lineStart = (text: string, at: number): number => text.lastIndexOf('\n', at - 1) + 1;

const indentBefore = (text: string, at: number): string =>
  /^[ \t]*/.exec(text.slice(lineStart(text, at), at))![0];

/** The smallest indentation with spaces; two if there is none. */
function stepOf(text: string): number {
  let step = Number.POSITIVE_INFINITY;
  for (const [, spaces] of text.matchAll(/^( +)[^\s#]/gm)) step = Math.min(step, spaces!.length);
  return Number.isFinite(step) ? step : 2;
}

/** The lines indented with tabs, each with its indentation in spaces. */
function indentedLines(text: string): TabRepair[] {
  const step = stepOf(text);
  const repairs: TabRepair[] = [];
  /** The indentation of the last line that is not inside brackets, and whether it opens a block. */
  let above = 0;
  let opens = false;
  let openBrackets = 0;
  /** The indentation of a key with a block scalar, in which a tab is an ordinary character. */
  let block = Number.POSITIVE_INFINITY;
  for (const { 0: line, index: start } of text.matchAll(/^.*\S.*$/gm)) {
    const indent = /^[ \t]*/.exec(line)![0];
    if (line[indent.length] === '#' || indent.search(/\t|$/) > block) continue;
    let width = 0;
    for (const one of indent) width = one === '\t' ? (Math.floor(width / step) + 1) * step : width + 1;
    if (indent.includes('\t')) {
      if (opens || openBrackets > 0) width = above + step;
      else width = Math.min(width, above);
      repairs.push({ start, end: start + indent.length, spaces: ' '.repeat(width) });
    }
    const isInBrackets = openBrackets > 0;
    openBrackets = Math.max(0, openBrackets + bracketsLeftOpen(line));
    if (isInBrackets) continue;
    above = width;
    opens = /:\s*(#.*)?$/.test(line);
    block = /[:-] +[|>][-+\d]*\s*( #.*)?$/.test(line) ? width : Number.POSITIVE_INFINITY;
  }
  return repairs;
}

function bracketsLeftOpen(line: string): number {
  const bare = line.replaceAll(/"[^"]*"|'[^']*'|\s#.*/g, '');
  return bare.split(/[[{]/).length - bare.split(/[\]}]/).length;
}

/** The repaired text, and a function from positions in it to positions in the original. */
export function repaired(text: string, repairs: readonly TabRepair[]) {
  let result = '';
  let at = 0;
  const starts = new Int32Array(repairs.length);
  repairs.forEach(({ start, end, spaces }, i) => {
    result += text.slice(at, start);
    starts[i] = result.length;
    result += spaces;
    at = end;
  });
  const origin = (place: number): number => {
    const i = firstAt(starts, place + 1) - 1;
    const repair = repairs[i];
    if (!repair) return place;
    const past = place - starts[i]! - repair.spaces.length;
    return past < 0 ? repair.start : repair.end + past;
  };
  return { text: result + text.slice(at), origin };
}
