import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { compiledBytes, compiledPath, runProgram } from './server/compiled-program.ts';
import { optimizeLate } from './server/v8-flags.ts';

// For the build: runs a program (the first operand) with the operands behind it, and keeps what V8 compiled of it by then.
const [name, ...args] = process.argv.slice(2) as [string, ...string[]];
const program = resolve(name);
process.argv = [process.execPath, program, ...args];
optimizeLate();
const script = runProgram(program);
process.on('exit', () => writeFileSync(compiledPath(program), compiledBytes(program, script)));
