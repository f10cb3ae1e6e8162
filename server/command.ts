import { commandLine } from './commands/command-line.ts';
import { processTerminal } from './terminal.ts';

// The status is set, not left with, so that what a pipe has not yet taken is still written.
commandLine(process.argv.slice(2), processTerminal()).then((status) => {
  if (status !== undefined) process.exitCode = status;
});
