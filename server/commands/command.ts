import type { Terminal } from '../terminal.ts';

export interface Option {
  /** What stands for the value in the help: `NAME`; a flag has none. */
  readonly value?: string;
  /** The only values that may be given; the first is the one that holds unasked. */
  readonly choices?: readonly string[];
  readonly meaning: string;
}

/** What the user wrote behind the command's name. */
export interface Call {
  readonly operands: readonly string[];
  /** An option's value: of one with choices the first where it was not given, of a flag the empty text. */
  option(name: string): string | undefined;
  readonly terminal: Terminal;
  /** The built program, which further threads run too; undefined where it runs from its sources. */
  readonly program: string | undefined;
}

/** 0: done. 1: there are findings at or above the threshold. 2: the command could not do its work. */
export type Status = 0 | 1 | 2;

export interface Command {
  readonly options: Readonly<Record<string, Option>>;
  /** Paragraphs for `help COMMAND`. */
  readonly description: string;
  /** Gives no status where the program goes on by itself, as a server does. */
  run(call: Call): Status | undefined | Promise<Status | undefined>;
}

/** A command as the list of commands knows it; the rest is loaded when it is asked for. */
export interface Listed {
  readonly name: string;
  /** What comes behind the name: `PATH...` */
  readonly operands: string;
  readonly summary: string;
  load(): Promise<Command>;
}

/** The command cannot do its work; the message says why, in a sentence for the user. */
export class Refusal extends Error {}

/** What to say of an error that no user can have caused. */
export function faultSentence(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  return `this is a fault of the program, not of your file (${message}).`;
}
