import { reason } from './files.ts';

/** Where a command writes. */
export interface Terminal extends TextLayout {
  out(text: string): void;
  err(text: string): void;
}

/** What a text format needs to know about the output. */
export interface TextLayout {
  /** The maximum length of a line in columns. */
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

/** Styles text with the escape codes of ECMA-48, or leaves it unchanged. */
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

/** FORCE_COLOR decides, then NO_COLOR; without them a terminal gets colours and a pipe does not. */
export function wantsColour(isTerminal: boolean, { FORCE_COLOR, NO_COLOR, TERM }: Environment): boolean {
  if (FORCE_COLOR !== undefined) return FORCE_COLOR !== '0' && FORCE_COLOR !== 'false';
  if (NO_COLOR !== undefined && NO_COLOR !== '') return false;
  return isTerminal && TERM !== 'dumb';
}

const WIDEST = 100;
const NARROWEST = 40;

/** The terminal or pipe that the program was started with. */
export function processTerminal(): Terminal {
  const { stdout, stderr, env } = process;
  for (const stream of [stdout, stderr]) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      // A reader that has seen enough (`… | head`) closes the pipe; that is not an error.
      if (error.code === 'EPIPE') return;
      if (stream === stdout) stderr.write(`enginewright: Cannot write the output: ${reason(error)}.\n`);
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
