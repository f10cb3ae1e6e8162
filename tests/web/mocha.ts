// The functions that the tests import from mocha. In a browser, mocha defines them as globals when it is set up.
import 'mocha/mocha.js';
import { say } from '../editor/suite/driver.ts';

interface Globals extends Mocha.MochaGlobals {
  readonly Mocha: typeof Mocha;
  readonly mocha: {
    setup(options: Mocha.MochaOptions): void;
    run(done: (failures: number) => void): Mocha.Runner;
  };
}

const globals = globalThis as unknown as Globals;
/** Like `util.format` for what mocha prints. */
globals.Mocha.reporters.Base.consoleLog = (text = '', ...values: unknown[]) =>
  say(values.reduce<string>((line, value) => line.replace(/%[sd]/, String(value)), String(text)));
globals.mocha.setup({ ui: 'tdd', timeout: 120_000, color: false, reporter: 'spec' });

export default globals.mocha;
export const { suite, test, setup, teardown, suiteSetup, suiteTeardown } = globals;
