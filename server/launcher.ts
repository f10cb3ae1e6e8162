import module from 'node:module';
import { optimizeLate } from './v8-flags.ts';

// The installed command line. Node 22.8 and later cache the compiled program for the next start, in a folder for
// temporary files or in NODE_COMPILE_CACHE. If that is not possible, V8 compiles it each time.
const { enableCompileCache } = module as { enableCompileCache?: () => unknown };
optimizeLate();
enableCompileCache?.();
require('./program.cjs');
