import { join } from 'node:path';
import { runProgram } from './compiled-program.ts';
import { optimizeLate } from './v8-flags.ts';

// The command line as it is installed: program.cjs, which runs by itself too, with its compiled code where that fits.
// What the program takes for its own file is this one, so that its further threads start in the same way.
optimizeLate();
runProgram(join(__dirname, 'program.cjs'), __filename);
