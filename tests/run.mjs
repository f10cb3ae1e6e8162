// Everything that `npm test` does, also on a fresh clone: installs, builds, lints, checks the types, runs the unit
// tests, packages the extension and tests the package in a real VS Code. With `--large`, everything that `npm run test:large`
// does: installs, builds and runs the tests that `npm test` leaves out; with `--verify`, the unit tests in verify mode. The last line is `N passed, N failed`; any other
// failed step counts as one more failure.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { installNeovim } from './editor/neovim.mjs';
import { installPackages } from './install.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const unitCounts = join(root, '.test-output/vitest.json');
const editorCounts = join(root, '.test-output/editor.json');

/** Tests that start processes or measure work or memory, which verify mode would disturb, or compute long without caches. */
const UNVERIFIED = [
  'tests/storage/',
  'tests/image/',
  'tests/runs/',
  'tests/harness/',
  'tests/robustness/',
  'tests/commands/',
  'tests/development/',
  'tests/package/',
  'tests/features/memory.test.ts',
];

/** Tests of edits, after which results of the version before are reused; `npm run test:verify` runs all. */
const VERIFIED = [
  'tests/analysis/order.test.ts',
  'tests/derived/after-an-edit.test.ts',
  'tests/memo.test.ts',
];

/** Slow tests of what rarely changes: very large texts, very many files, many half-typed texts, git URLs, `npm run new`. */
const LARGE = [
  'tests/analysis/large-text.test.ts',
  'tests/analysis/many-prefixes.test.ts',
  'tests/commands/large-files.test.ts',
  'tests/compare/many-files.test.ts',
  'tests/development/new.test.ts',
  'tests/package/git-url.test.ts',
  'tests/robustness/longest-text.test.ts',
  'tests/robustness/many-documents.test.ts',
];
const exclude = (paths) => paths.flatMap((path) => ['--exclude', path.endsWith('/') ? `${path}**` : path]);

// Vitest ignores a path that does not exist, and its tests would run in the wrong mode or not at all.
for (const path of [...UNVERIFIED, ...VERIFIED, ...LARGE])
  if (!existsSync(join(root, path))) throw new Error(`tests/run.mjs names ${path}, which does not exist.`);

const total = { passed: 0, failed: 0 };

installPackages();
mkdirSync(join(root, '.test-output'), { recursive: true });
const built = step('Build', 'npm', ['run', '--silent', 'build']);
if (process.argv.includes('--large')) unitTests('Large tests', LARGE);
else if (process.argv.includes('--verify')) verified();
else everythingElse();
console.log(`\n${total.passed} passed, ${total.failed} failed`);
process.exitCode = total.failed === 0 && total.passed > 0 ? 0 : 1;

function everythingElse() {
  installNeovim();
  step('Format and lint', 'npx', ['biome', 'check', '.']);
  step('Types', 'npx', ['tsc', '--noEmit']);
  step('Types in the browser', 'npx', ['tsc', '--noEmit', '-p', 'tsconfig.browser.json']);
  for (const panel of ['map-panel', 'installation-panel', 'memory-panel', 'run-panel'])
    step(`Types of the ${panel}`, 'npx', ['tsc', '--noEmit', '-p', `client/${panel}/view`]);
  // Verify mode, in which these run next, does all that they do without it.
  unitTests('Unit tests', exclude([...LARGE, ...VERIFIED.filter((path) => path !== 'tests/memo.test.ts')]));
  process.env.ENGINEWRIGHT_VERIFY = '1';
  unitTests('Tests of what is reused, in verify mode', [...VERIFIED, ...exclude(LARGE)]);
  if (built) {
    step('Fuzzing of files in verify mode', 'node', ['tests/fuzz/run.mjs', '150', '1']);
    step('Fuzzing of a workspace in verify mode', 'node', ['tests/fuzz/run.mjs', 'workspace', '80', '1']);
  }
  delete process.env.ENGINEWRIGHT_VERIFY;
  if (built && step('Package', 'node', ['tests/editor/package.mjs'])) {
    countedStep('Editor tests', editorCounts, 'node', ['tests/editor/run.mjs']);
  } else {
    console.error('\nThe editor tests were not run because there is no package.');
  }
}

/** Verify mode computes every cache hit again and compares, so that a stale result fails a test. */
function verified() {
  process.env.ENGINEWRIGHT_VERIFY = '1';
  unitTests('Unit tests in verify mode', exclude([...UNVERIFIED, ...LARGE]));
}

/** Runs a command under a heading; returns whether it succeeded. */
function run(title, command, args) {
  console.log(`\n${title}`);
  const started = Date.now();
  const { status } = spawnSync(command, args, {
    cwd: root,
    stdio: 'inherit',
    shell: process.platform === 'win32',
  });
  console.log(
    `${title}: ${status === 0 ? 'done' : 'FAILED'}, ${((Date.now() - started) / 1000).toFixed(1)} s`,
  );
  return status === 0;
}

function step(title, command, args) {
  const succeeded = run(title, command, args);
  if (!succeeded) total.failed += 1;
  return succeeded;
}

function unitTests(title, args) {
  const reporters = ['--reporter=dot', '--reporter=json', `--outputFile.json=${unitCounts}`];
  countedStep(title, unitCounts, 'npx', ['vitest', 'run', ...reporters, ...args]);
  if (existsSync(unitCounts)) console.log(`Slowest: ${slowest(unitCounts).join(', ')}`);
}

/** The files that took longest, so that whoever adds a slow one sees it. */
function slowest(file) {
  const { testResults } = JSON.parse(readFileSync(file, 'utf8'));
  return testResults
    .map(({ name, startTime, endTime }) => ({
      name: relative(root, name),
      seconds: (endTime - startTime) / 1000,
    }))
    .sort((a, b) => b.seconds - a.seconds)
    .slice(0, 8)
    .map(({ name, seconds }) => `${name} ${seconds.toFixed(0)} s`);
}

/** Runs tests that write their counts to a file; a failure without counts is one failure. */
function countedStep(title, countsFile, command, args) {
  rmSync(countsFile, { force: true });
  const succeeded = run(title, command, args);
  const { passed, failed } = existsSync(countsFile) ? counts(countsFile) : { passed: 0, failed: 0 };
  total.passed += passed;
  total.failed += succeeded ? failed : Math.max(failed, 1);
}

function counts(file) {
  const found = JSON.parse(readFileSync(file, 'utf8'));
  return { passed: found.passed ?? found.numPassedTests, failed: found.failed ?? found.numFailedTests };
}
