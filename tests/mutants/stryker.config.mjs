// npm run mutants: changes the physics in one place at a time and runs the tests that reach it. A change that no test
// detects is a gap in the tests. `MUTANTS=shared/checks/fuel-supply.ts npm run mutants` does the same with a file of
// checks and its own fixtures, in a few minutes. All files take hours, so no other command runs this. Its packages take
// 58 MB of what `npm ci` installs.
import { room } from './room.mjs';

/** @type {import('@stryker-mutator/api/core').PartialStrykerOptions} */
export default {
  mutate: [room.endsWith('.ts') ? room : `${room}/**/*.ts`],
  testRunner: 'vitest',
  vitest: { configFile: 'tests/mutants/vitest.config.mjs', related: false },
  coverageAnalysis: 'perTest',
  // Titles, sources and messages are words, which have their own tests.
  mutator: { excludedMutations: ['StringLiteral'] },
  ignoreStatic: true,
  concurrency: 1,
  timeoutMS: 30_000,
  reporters: ['clear-text', 'json', 'html'],
  clearTextReporter: { allowColor: false, allowEmojis: false, logTests: false, reportTests: false },
  jsonReporter: { fileName: '.test-output/mutants/mutants.json' },
  htmlReporter: { fileName: '.test-output/mutants/mutants.html' },
  // The compiler has no API for rewriting paths, and the copy needs no other paths.
  tsconfigFile: 'none',
  tempDirName: '.test-output/mutants/copy',
  ignorePatterns: ['.editor-cache', '.test-output', 'coverage', 'dist', 'docs/pictures', '*.vsix'],
};
