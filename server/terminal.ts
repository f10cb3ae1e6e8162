import { reason } from './files.ts';

/** Where a command writes, and what can be shown there. */
export interface Terminal extends Paper {
  out(text: string): void;
  err(text: string): void;
}

/** What a text format needs to know of the place that it is read at. */
export interface Paper {
  /** Columns that a line may fill. */
  readonly width: number;
  readonly style: Style;
}

const CODES = {
  bold: [1, 22],
  dim: [2, 22],
  red: [31, 39],
  green: [32, 39],
  yellow: [33, 39],
  blue: [34, 39],
  cyan: [36, 39],
} as const;

export type Style = Readonly<Record<keyof typeof CODES, (text: string) => string>>;

/** Paints text with the escape codes of ECMA-48, or leaves every text as it is. */
export function styleOf(coloured: boolean): Style {
  const styles = Object.entries(CODES).map(([name, [on, off]]) => {
    const paint = (text: string) => (coloured && text !== '' ? `\x1b[${on}m${text}\x1b[${off}m` : text);
    return [name, paint];
  });
  return Object.fromEntries(styles) as Style;
}

interface Environment {
  readonly NO_COLOR?: string | undefined;
  readonly FORCE_COLOR?: string | undefined;
  readonly TERM?: string | undefined;
}

/** FORCE_COLOR decides where it is set, then NO_COLOR; without them a terminal gets colour, a pipe does not. */
export function wantsColour(isTerminal: boolean, { FORCE_COLOR, NO_COLOR, TERM }: Environment): boolean {
  if (FORCE_COLOR !== undefined) return FORCE_COLOR !== '0' && FORCE_COLOR !== 'false';
  if (NO_COLOR !== undefined && NO_COLOR !== '') return false;
  return isTerminal && TERM !== 'dumb';
}

const WIDEST = 100;
const NARROWEST = 40;

/** The terminal, or the pipe, that the program was started at. */
export function processTerminal(): Terminal {
  const { stdout, stderr, env } = process;
  for (const stream of [stdout, stderr]) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      // A reader that has seen enough (`… | head`) closes the pipe: that is no fault of ours.
      if (error.code === 'EPIPE') return;
      if (stream === stdout) stderr.write(`enginewright: The output cannot be written: ${reason(error)}.\n`);
      process.exit(2);
    });
  }
  return {
    out: (text) => stdout.write(text),
    err: (text) => stderr.write(text),
    width: Math.max(NARROWEST, Math.min(stdout.columns ?? WIDEST, WIDEST)),
    style: styleOf(wantsColour(stdout.isTTY === true, env)),
  };
}
