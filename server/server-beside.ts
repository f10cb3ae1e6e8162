import { join } from 'node:path';
import { runProgram } from './compiled-program.ts';
import { keepHeapSmall, optimizeLate } from './v8-flags.ts';

// Stands for main.ts in the built command line, which does without the language server until it is asked for: that one is
// a program of its own. V8 takes compiled code only under the flags that it was made under, so they are set before.
optimizeLate();
keepHeapSmall();
runProgram(join(__dirname, 'server.cjs'));
