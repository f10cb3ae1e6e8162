// npm run mutants: changes the physics in one place at a time and runs the tests that reach it; a change that none of
// them notices is a hole in the tests. `MUTANTS=shared/checks/fuel-supply.ts npm run mutants` does so to a file of
// checks, with its own fixtures, in a few minutes. All takes hours, so no other command runs it. What it needs is 58 MB
// of what `npm ci` installs.
import { room } from './room.mjs';

/** @type {import('@stryker-mutator/api/core').PartialStrykerOptions} */
export default {
  mutate: [room.endsWith('.ts') ? room : `${room}/**/*.ts`],
  testRunner: 'vitest',
  vitest: { configFile: 'tests/mutants/vitest.config.mjs', related: false },
  coverageAnalysis: 'perTest',
  // Titles, sources and messages are words; what has to stand in them has tests of its own.
  mutator: { excludedMutations: ['StringLiteral'] },
  ignoreStatic: true,
  concurrency: 1,
  timeoutMS: 30_000,
  reporters: ['clear-text', 'json', 'html'],
  clearTextReporter: { allowColor: false, allowEmojis: false, logTests: false, reportTests: false },
  jsonReporter: { fileName: '.test-output/mutants/mutants.json' },
  htmlReporter: { fileName: '.test-output/mutants/mutants.html' },
  // The compiler has no programming interface to rewrite paths with, and the copy needs no other paths.
  tsconfigFile: 'none',
  tempDirName: '.test-output/mutants/copy',
  ignorePatterns: ['.editor-cache', '.test-output', 'coverage', 'dist', 'docs/pictures', '*.vsix'],
};
