import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, resolve } from 'node:path';
import { compiledBytes, compiledPath, compiledProgram } from './server/compiled-program.ts';
import { optimizeLate } from './server/v8-flags.ts';

// For the build: runs a program (the first operand) with the operands behind it, and keeps what V8 compiled of it by then.
const [name, ...args] = process.argv.slice(2) as [string, ...string[]];
const program = resolve(name);
process.argv = [process.execPath, program, ...args];
optimizeLate();
const script = compiledProgram(program);
process.on('exit', () => writeFileSync(compiledPath(program), compiledBytes(program, script)));
script.runInThisContext()({}, createRequire(program), {}, program, dirname(program));
