import { isMainThread } from 'node:worker_threads';
import { commandLine } from './commands/command-line.ts';
import { processTerminal } from './terminal.ts';

if (isMainThread) {
  // The status is set, not left with, so that what a pipe has not yet taken is still written.
  commandLine(process.argv.slice(2), processTerminal(), __filename).then((status) => {
    if (status !== undefined) process.exitCode = status;
  });
} else {
  import('./commands/check-threads.ts').then(({ help }) => help());
}
