import type { Terminal } from '../terminal.ts';

export interface Option {
  /** The name of the value in the help: `NAME`; a flag has none. */
  readonly value?: string;
  /** The only possible values; the first is the default. */
  readonly choices?: readonly string[];
  /** Whether it takes every operand up to the next option. */
  readonly list?: boolean;
  readonly meaning: string;
}

/** The arguments after the command's name. */
export interface Call {
  readonly operands: readonly string[];
  /** An option's value; its default if it has choices, the empty text for a flag. */
  option(name: string): string | undefined;
  /** Every value of an option that takes a list. */
  options(name: string): readonly string[];
  readonly terminal: Terminal;
  /** The built program, which further threads run too; undefined if the program runs from its sources. */
  readonly program: string | undefined;
}

/** 0: done. 1: there are findings at or above the threshold. 2: the command failed. */
export type Status = 0 | 1 | 2;

export interface Command {
  readonly options: Readonly<Record<string, Option>>;
  /** Paragraphs for `help COMMAND`. */
  readonly description: string;
  /** Returns no status if the program keeps running, as a server does. */
  run(call: Call): Status | undefined | Promise<Status | undefined>;
}

/** A command in the list of commands; the rest is loaded on use. */
export interface Listed {
  readonly name: string;
  /** The operands after the name: `PATH...` */
  readonly operands: string;
  readonly summary: string;
  load(): Promise<Command>;
}

/** The command cannot run; the message says why, in a sentence for the user. */
export class UsageError extends Error {}

/** The message for an error that no user can have caused. */
export function faultSentence(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  return `internal error (${message}). Please report it; your file is not the cause.`;
}
