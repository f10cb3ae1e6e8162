import { report } from '../editor/suite/driver.ts';
import mocha from './mocha.ts';
import 'suites';

/** VS Code calls this in its extension host. Runs all tests; rejects if one fails. */
export async function run(): Promise<void> {
  const { passed, failed } = await new Promise<{ passed: number; failed: number }>((resolve) => {
    const runner = mocha.run((failures) => resolve({ passed: runner.stats?.passes ?? 0, failed: failures }));
  });
  report({ passed, failed });
  if (failed > 0 || passed === 0) throw new Error(`${failed} of ${passed + failed} tests failed`);
}
