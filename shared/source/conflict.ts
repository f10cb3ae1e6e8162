/** A stretch of a text, in UTF-16 units from its start. */
interface Stretch {
  readonly start: number;
  readonly end: number;
}

/**
 * The marker lines of one unresolved merge conflict, including line ends. Version control writes them at the start of
 * the line.
 */
export interface Conflict {
  readonly opening: Stretch;
  /** The line before those of the common ancestor, which some merges also show. */
  readonly ancestor?: Stretch;
  readonly middle: Stretch;
  readonly closing: Stretch;
}

const MARKER = /^(?:<{7}|\|{7}|={7}|>{7})(?:[ \t\r][^\n]*)?(?:\n|$(?![\s\S]))/gm;

/**
 * The complete conflicts in a text. A marker without its counterparts does not count; YAML reports it as a syntax
 * error.
 */
export function conflictsIn(text: string): Conflict[] {
  // Most texts have no conflict, and this test is a hundred times faster.
  if (!text.includes('<<<<<<<')) return [];
  const conflicts: Conflict[] = [];
  let open: Partial<Conflict> = {};
  for (const { 0: line, index: start } of text.matchAll(MARKER)) {
    const marker = { start, end: start + line.length };
    if (line.startsWith('<')) open = { opening: marker };
    else if (line.startsWith('|') && open.opening && !open.middle) open = { ...open, ancestor: marker };
    else if (line.startsWith('=') && open.opening && !open.middle) open = { ...open, middle: marker };
    else if (line.startsWith('>')) {
      const { opening, middle } = open;
      if (opening && middle) conflicts.push({ ...open, opening, middle, closing: marker });
      open = {};
    }
  }
  return conflicts;
}

/** The text with everything but the first side of each conflict replaced by blanks, so that positions stay the same. */
export function withFirstSides(text: string, conflicts: readonly Conflict[]): string {
  let result = '';
  let at = 0;
  for (const { opening, ancestor, middle, closing } of conflicts) {
    result += text.slice(at, opening.start) + blank(text.slice(opening.start, opening.end));
    result += text.slice(opening.end, (ancestor ?? middle).start);
    result += blank(text.slice((ancestor ?? middle).start, closing.end));
    at = closing.end;
  }
  return result + text.slice(at);
}

const blank = (text: string): string => text.replaceAll(/[^\r\n]/g, ' ');
