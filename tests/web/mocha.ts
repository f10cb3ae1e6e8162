// The functions that the tests import from mocha. In a browser, mocha defines them as globals when it is set up.
import 'mocha/mocha.js';
import { report, say } from '../editor/suite/driver.ts';

interface Globals extends Mocha.MochaGlobals {
  readonly Mocha: typeof Mocha;
  readonly mocha: { setup(options: Mocha.MochaOptions): void; run(): void };
}

const globals = globalThis as unknown as Globals;
/** Like `util.format` for what mocha prints. */
globals.Mocha.reporters.Base.consoleLog = (text = '', ...values: unknown[]) =>
  say(values.reduce<string>((line, value) => line.replace(/%[sd]/, String(value)), String(text)));

let stats: Mocha.Stats | undefined;
class Counting extends globals.Mocha.reporters.Spec {
  constructor(runner: Mocha.Runner, options: Mocha.MochaOptions) {
    super(runner, options);
    stats = this.stats;
    // Mocha explains failures after the last report, when the window may be closed.
    runner.on('fail', (test, error) => say(`    ${test.title}: ${error.message}`));
  }
}
globals.mocha.setup({ ui: 'tdd', timeout: 120_000, color: false, reporter: Counting });
// The last thing that mocha does. Once the tests have run, the window closes.
globals.suiteTeardown(() => report({ passed: stats?.passes ?? 0, failed: stats?.failures ?? 1 }));

export default globals.mocha;
export const { suite, test, setup, teardown, suiteSetup, suiteTeardown } = globals;
