import module from 'node:module';
import { optimizeLate } from './v8-flags.ts';

// The command line as it is installed. Node 22.8 and later keep what V8 compiles of the program in a folder
// for temporary files (or in NODE_COMPILE_CACHE) for the next start. That is never an error: where nothing
// can be kept, and in an older Node, V8 compiles each time.
const { enableCompileCache } = module as { enableCompileCache?: () => unknown };
optimizeLate();
enableCompileCache?.();
require('./program.cjs');
