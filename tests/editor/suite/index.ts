import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { format } from 'node:util';
import { report, say } from './driver.ts';

/** VS Code calls this in its extension host. Runs every `*.test.ts` beside it; rejects if one fails. */
export async function run(): Promise<void> {
  const { default: Mocha } = await import('mocha');
  Mocha.reporters.Base.consoleLog = (...args: unknown[]) => say(format(...args));
  const mocha = new Mocha({ ui: 'tdd', timeout: 120_000, color: false });
  for (const name of readdirSync(__dirname).sort()) {
    if (name.endsWith('.test.js')) mocha.addFile(join(__dirname, name));
  }
  const { passed, failed } = await new Promise<{ passed: number; failed: number }>((resolve) => {
    const runner = mocha.run((failures) => resolve({ passed: runner.stats?.passes ?? 0, failed: failures }));
  });
  await report({ passed, failed });
  if (failed > 0 || passed === 0) throw new Error(`${failed} of ${passed + failed} editor tests failed`);
}
