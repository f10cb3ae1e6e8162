import { version } from '../../package.json';
import { printable } from '../formats/layout.ts';
import { plainText } from '../plain-text.ts';
import type { Terminal } from '../terminal.ts';
import { didYouMean, oneOf, readCall } from './call.ts';
import { type Call, faultSentence, type Listed, type Status, UsageError } from './command.ts';
import { commandHelp, overview } from './help.ts';
import { commandNamed, commands } from './registry.ts';

/**
 * Runs one command line (without the program's own name). Never throws: an error is printed as a sentence on the
 * error output and gives status 2. Returns no status if the program keeps running. `program` is the file of the
 * built program, if this is one.
 */
export async function commandLine(
  args: readonly string[],
  given: Terminal,
  program?: string,
): Promise<Status | undefined> {
  // A message may quote a file name that somebody else chose.
  const terminal = {
    ...given,
    err: (text: string) => given.err(plainText(text).split('\n').map(printable).join('\n')),
  };
  try {
    return await run(args, { terminal, program });
  } catch (error) {
    const sentence = error instanceof UsageError ? error.message : faultSentence(error);
    terminal.err(`enginewright: ${sentence}\n`);
    return 2;
  }
}

async function run(
  [first, ...rest]: readonly string[],
  host: Pick<Call, 'terminal' | 'program'>,
): Promise<Status | undefined> {
  const { terminal } = host;
  if (first === undefined)
    throw new UsageError(`Missing command; use ${names()}. See \`enginewright --help\`.`);
  if (first === '--version' || first === '-v') {
    terminal.out(`${version}\n`);
    return 0;
  }
  if (first === '--help' || first === '-h' || first === 'help') {
    const [about] = rest;
    terminal.out(about === undefined ? overview(terminal) : await helpFor(listed(about), terminal));
    return 0;
  }
  const entry = listed(first);
  if (asksForHelp(rest)) {
    terminal.out(await helpFor(entry, terminal));
    return 0;
  }
  const command = await entry.load();
  return command.run(readCall(entry.name, command, rest, host));
}

function listed(name: string): Listed {
  const entry = commandNamed(name);
  if (entry) return entry;
  const known = [...commands.map((command) => command.name), 'help', '--help', '--version'];
  throw new UsageError(`Unknown command \`${name}\`; use ${names()}.${didYouMean(name, known)}`);
}

async function helpFor(entry: Listed, terminal: Terminal): Promise<string> {
  return commandHelp(entry, await entry.load(), terminal);
}

/** Only operands follow `--`. */
function asksForHelp(args: readonly string[]): boolean {
  const end = args.indexOf('--');
  const options = end < 0 ? args : args.slice(0, end);
  return options.includes('--help') || options.includes('-h');
}

function names(): string {
  return oneOf(commands.map(({ name }) => name));
}
