import { parseArgs } from 'node:util';
import { nearestWord } from '../../shared/quantity/nearest-word.ts';
import type { Listed } from '../formats/format.ts';
import { type Call, type Command, UsageError } from './command.ts';

/** Reads the arguments after a command's name. Throws a `UsageError` for an unknown option or value. */
export function readCall(
  name: string,
  command: Command,
  args: readonly string[],
  { terminal, program }: Pick<Call, 'terminal' | 'program'>,
): Call {
  const help = `See \`enginewright help ${name}\`.`;
  const config = Object.entries(command.options).map(([option, { value, choices }]) => {
    return [option, { type: value || choices ? 'string' : 'boolean' }] as const;
  });
  const options = Object.fromEntries(config);
  const { tokens } = parseArgs({
    args: [...args],
    options,
    strict: false,
    allowPositionals: true,
    tokens: true,
  });
  const given = new Map<string, string>();
  const all = new Map<string, string[]>();
  const operands: string[] = [];
  /** The list that operands belong to. */
  let list = operands;
  for (const token of tokens) {
    if (token.kind === 'positional') list.push(token.value);
    if (token.kind !== 'option') continue;
    const option = Object.hasOwn(command.options, token.name) ? command.options[token.name] : undefined;
    if (!option) {
      const known = [...Object.keys(command.options), 'help'].map((one) => `--${one}`);
      const hint = didYouMean(token.rawName, known);
      throw new UsageError(`\`${name}\` has no option \`${token.rawName}\`.${hint} ${help}`);
    }
    const { value, choices } = option;
    const takesValue = value !== undefined || choices !== undefined;
    if (!takesValue && token.value !== undefined)
      throw new UsageError(`\`${token.rawName}\` takes no value. ${help}`);
    if (takesValue && token.value === undefined)
      throw new UsageError(`\`${token.rawName}\` needs a value. ${help}`);
    if (choices && !choices.includes(token.value!)) {
      const known = oneOf(choices);
      throw new UsageError(
        `\`${token.rawName}\` cannot be \`${token.value}\`; use ${known}.${didYouMean(token.value!, choices)}`,
      );
    }
    given.set(token.name, token.value ?? '');
    const values = all.get(token.name) ?? [];
    all.set(token.name, values);
    values.push(token.value ?? '');
    list = option.list ? values : operands;
  }
  return {
    operands,
    option: (option) => given.get(option) ?? command.options[option]?.choices?.[0],
    options: (option) => all.get(option) ?? [],
    terminal,
    program,
  };
}

/** ` Did you mean …?` with the most similar word; empty if none is similar. */
export function didYouMean(word: string, known: readonly string[]): string {
  const nearest = nearestWord(word, known);
  return nearest === undefined ? '' : ` Did you mean \`${nearest}\`?`;
}

/** `` `a`, `b` or `c` `` */
export function oneOf(words: readonly string[]): string {
  const quoted = words.map((word) => `\`${word}\``);
  return quoted.length < 2 ? quoted.join('') : `${quoted.slice(0, -1).join(', ')} or ${quoted.at(-1)}`;
}

/** Loads the format that the call selects. */
export function formatOf<Loaded>(call: Call, formats: readonly Listed<Loaded>[]): Promise<Loaded> {
  return formats.find(({ name }) => name === call.option('format'))!.load();
}

/** The option `--time` in seconds. Throws a `UsageError` for anything else. */
export function secondsOf(call: Call, otherwise: string): number {
  const text = call.option('time') ?? otherwise;
  const seconds = /^(\d+(?:\.\d+)?)(?: ?s)?$/.exec(text)?.[1];
  if (seconds === undefined)
    throw new UsageError(`\`--time\` cannot be \`${text}\`; use seconds, such as \`10 s\`.`);
  return Number(seconds);
}

/** Whether there is still time, from now on. */
export function deadline(seconds: number): () => boolean {
  const end = performance.now() + seconds * 1000;
  return () => performance.now() < end;
}
