import module from 'node:module';
import { optimizeLate } from './v8-flags.ts';

// The entry point of the installed command line. Node 22.8 and later cache the compiled program in a folder for temporary
// files (or in NODE_COMPILE_CACHE). Without a cache, or in an older Node, V8 compiles the program at each start.
const { enableCompileCache } = module as { enableCompileCache?: () => unknown };
optimizeLate();
enableCompileCache?.();
require('./program.cjs');
