import { isMainThread } from 'node:worker_threads';
import { verifyCaches } from '../shared/memo.ts';
import { commandLine } from './commands/command-line.ts';
import { processTerminal } from './terminal.ts';

verifyCaches(process.env.ENGINEWRIGHT_VERIFY === '1');

if (isMainThread) {
  commandLine(process.argv.slice(2), processTerminal(), __filename).then((status) => {
    if (status === undefined) return;
    process.exitCode = status;
    leaveWhenWritten();
  });
} else {
  import('./commands/check-threads.ts').then(({ help }) => help());
}

/**
 * Ends the program once all output is written; a write error is reported by the terminal. Node would end by itself, but
 * only after freeing all memory.
 */
function leaveWhenWritten() {
  const { stdout, stderr } = process;
  const leave = (fault?: Error | null) => {
    if (!fault) process.exit();
  };
  stdout.write('', (fault) => (fault ? undefined : stderr.write('', leave)));
}
