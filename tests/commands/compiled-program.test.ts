import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Script } from 'node:vm';
import { describe, expect, test } from 'vitest';
import { compiledBytes, compiledPath, compiledProgram } from '../../server/compiled-program.ts';

/** A program that gives a number, as it is built: one line, and the digest behind it. */
const textOf = (number: number) => `module.exports = ${number};\n// ${String(number).repeat(64)}\n`;

function written(text: string): string {
  const program = join(mkdtempSync(join(tmpdir(), 'enginewright-')), 'program.cjs');
  writeFileSync(program, text);
  return program;
}

function run(script: Script): unknown {
  const module = { exports: undefined as unknown };
  script.runInThisContext()(module.exports, undefined, module);
  return module.exports;
}

/** Keeps beside a program what V8 compiles of it when it runs. */
function keep(program: string) {
  const script = compiledProgram(program);
  run(script);
  writeFileSync(compiledPath(program), compiledBytes(program, script));
}

describe('a built program', () => {
  test('runs without compiled code', () => {
    const script = compiledProgram(written(textOf(1)));
    expect(run(script)).toBe(1);
    expect(script.cachedDataRejected).toBeUndefined();
  });

  test('runs with the compiled code that was made of it', () => {
    const program = written(textOf(1));
    keep(program);
    const script = compiledProgram(program);
    expect(script.cachedDataRejected).toBe(false);
    expect(run(script)).toBe(1);
  });

  test('of another text is never run for the compiled code beside it, though V8 would take that at the same length', () => {
    const program = written(textOf(1));
    keep(program);
    writeFileSync(program, textOf(2));
    expect(run(compiledProgram(program))).toBe(2);

    const code = readFileSync(compiledPath(program)).subarray(64);
    const wrapped = `(function (exports, require, module, __filename, __dirname) { ${textOf(3)}\n});`;
    const fooled = new Script(wrapped, { filename: program, cachedData: code });
    expect(fooled.cachedDataRejected).toBe(false);
    expect(run(fooled)).toBe(1);
  });

  test('runs beside compiled code that is cut short or spoilt', () => {
    const program = written(textOf(1));
    keep(program);
    const whole = readFileSync(compiledPath(program));
    for (const length of [0, 10, 64, 80, whole.length - 1]) {
      writeFileSync(compiledPath(program), whole.subarray(0, length));
      expect(run(compiledProgram(program)), `${length} bytes`).toBe(1);
    }
  });

  test('keeps letters beyond ASCII as they are', () => {
    expect(run(compiledProgram(written(`module.exports = '°C · λ';\n// ${'a'.repeat(64)}\n`)))).toBe(
      '°C · λ',
    );
  });
});
